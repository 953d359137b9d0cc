#include <algorithm>
#include <unordered_map>
#include <unordered_set>

#include <fmt/format.h>

#include "shop/check/cross.h"
#include "shop/check/tip_checks.h"
#include "shop/fit.h"
#include "shop/fold.h"
#include "shop/notes.h"

namespace baylore::shop::checking {
namespace {

// The vocabulary by folded words, with the words as written for the suggestions.
class WordChecks {
 public:
  WordChecks(const ShopFacts& facts, Findings& into) : facts_(facts), into_(into) {
    for (const Component& component : facts.vocabulary.components) {
      if (!component.system.empty() && systems_.insert(folded_words(component.system)).second)
        system_words_.push_back(component.system);
      name_component(component.name, component.system);
      for (const std::string& also : component.also) name_component(also, component.system);
    }
    for (const Model& model : facts.vocabulary.models) {
      std::vector<const Model*>& models = makes_[folded_words(model.make)];
      if (models.empty()) make_words_.push_back(model.make);
      models.push_back(&model);
    }
  }

  void all() {
    for (const TipFacts& tip : facts_.tips) {
      if (!system_words_.empty() && !tip.system.empty()) system(tip);
      if (!component_words_.empty() && !tip.component.empty()) component(tip);
      if (makes_.empty()) continue;
      for (std::size_t i = 0; i < tip.fits.size(); ++i) fit(tip, tip.fits[i], tip.fits_at[i]);
    }
  }

 private:
  void name_component(const std::string& name, const std::string& system) {
    const auto [at, added] = components_.emplace(folded_words(name), std::vector<std::string>());
    if (added) component_words_.push_back(name);
    at->second.push_back(folded_words(system));
  }

  // Cached: a slip of the pen is often in many tips, and each look goes through the whole list.
  const std::string& meant(const std::string& word, const std::vector<std::string>& among) {
    constexpr std::size_t kMostLooks = 20000;
    const auto [at, added] = meant_.emplace(word, "");
    if (added && meant_.size() < kMostLooks) at->second = nearest(word, among);
    return at->second;
  }

  void system(const TipFacts& tip) {
    if (systems_.count(folded_words(tip.system)) != 0) return;
    const std::string& near = meant(tip.system, system_words_);
    add(into_, tip.path, tip.system_at, Level::warning, "system",
        fmt::format("`{}` is no system of the vocabulary, so its cautions may be missing",
                    tip.system),
        near.empty() ? "take one of the vocabulary's systems, or give it components there"
                     : fmt::format("did you mean `{}`?", near));
  }

  void component(const TipFacts& tip) {
    const auto found = components_.find(folded_words(tip.component));
    if (found == components_.end()) {
      const std::string& near = meant(tip.component, component_words_);
      if (near.empty()) return;
      add(into_, tip.path, tip.component_at, Level::note, "component",
          fmt::format("`{}` is no component of the vocabulary", tip.component),
          fmt::format("did you mean `{}`?", near));
      return;
    }
    const std::string system = folded_words(tip.system);
    const std::vector<std::string>& systems = found->second;
    if (system.empty() || systems_.count(system) == 0 ||
        std::find(systems.begin(), systems.end(), system) != systems.end() ||
        std::all_of(systems.begin(), systems.end(), [](const auto& s) { return s.empty(); })) {
      return;
    }
    add(into_, tip.path, tip.system_at, Level::warning, "system",
        fmt::format("the vocabulary has `{}` under {}, not under {}", tip.component,
                    systems.front(), tip.system),
        "mend the one that is wrong: the system decides which cautions are shown");
  }

  // Once a shop for each make, model or engine: the vocabulary is what is to be mended then.
  bool first_time(const std::string& what) { return told_.insert(what).second; }

  void fit(const TipFacts& tip, const Fit& fit, Spot at) {
    if (fit.make.empty()) return;
    const std::string make = folded_words(fit.make);
    const auto models = makes_.find(make);
    if (models == makes_.end()) {
      unknown(tip, at, "make", fit.make, make_words_, make);
      return;
    }
    if (fit.model.empty()) return;
    const std::string name = folded_words(fit.model);
    std::vector<const Model*> same;
    std::vector<std::string> names;
    for (const Model* model : models->second) {
      names.push_back(model->name);
      if (folded_words(model->name) == name) same.push_back(model);
    }
    if (same.empty()) {
      unknown(tip, at, "model", fit.model, names, make + '|' + name);
      return;
    }
    years(tip, fit, at, same);
    engine(tip, fit, at, same, make + '|' + name);
  }

  void unknown(const TipFacts& tip, Spot at, const char* what, const std::string& word,
               const std::vector<std::string>& among, const std::string& key) {
    const std::string near(nearest(word, among));
    if (!near.empty()) {
      add(into_, tip.path, at, Level::warning, "vehicle",
          fmt::format("`{}` is no {} of the vocabulary", word, what),
          fmt::format("did you mean `{}`?", near));
    } else if (first_time(key)) {
      add(into_, tip.path, at, Level::note, "vehicle",
          fmt::format("`{}` is no {} of the vocabulary", word, what),
          "mend it, or add it to the vocabulary's makes");
    }
  }

  // Years the vocabulary has for the model, all its lines together.
  void years(const TipFacts& tip, const Fit& fit, Spot at, const std::vector<const Model*>& same) {
    int first = 9999;
    int last = 0;
    for (const Model* model : same) {
      if (model->first_year == 0 || model->last_year == 0) return;
      first = std::min(first, model->first_year);
      last = std::max(last, model->last_year);
    }
    if (fit.first_year > facts_.latest_year || fit.last_year > facts_.latest_year ||
        (fit.first_year != 0 && fit.first_year < kOldestYear)) {
      return;
    }
    const bool apart = (fit.first_year != 0 && fit.first_year > last) ||
                       (fit.last_year != 0 && fit.last_year < first);
    const bool beyond = (fit.first_year != 0 && fit.first_year < first) ||
                        (fit.last_year != 0 && fit.last_year > last);
    if (!apart && !beyond) return;
    add(into_, tip.path, at, apart ? Level::warning : Level::note, "years",
        fmt::format("{} {} {}: the vocabulary has it for {}", fit.make, fit.model,
                    years_text(fit.first_year, fit.last_year), years_text(first, last)),
        "mend the years, or the vocabulary");
  }

  void engine(const TipFacts& tip, const Fit& fit, Spot at, const std::vector<const Model*>& same,
              const std::string& key) {
    if (fit.engine.empty()) return;
    const std::string wanted = folded_words(fit.engine);
    std::vector<std::string> engines;
    for (const Model* model : same) {
      for (const std::string& engine : model->engines) {
        if (engines_agree(wanted, folded_words(engine))) return;
        engines.push_back(engine);
      }
    }
    if (!engines.empty()) unknown(tip, at, "engine", fit.engine, engines, key + '|' + wanted);
  }

  const ShopFacts& facts_;
  Findings& into_;
  std::unordered_set<std::string> systems_;
  std::vector<std::string> system_words_;
  std::unordered_map<std::string, std::vector<std::string>> components_;  // name to its systems
  std::vector<std::string> component_words_;
  std::unordered_map<std::string, std::vector<const Model*>> makes_;
  std::vector<std::string> make_words_;
  std::unordered_map<std::string, std::string> meant_;
  std::unordered_set<std::string> told_;
};

}  // namespace

void check_words(const ShopFacts& facts, Findings& into) { WordChecks(facts, into).all(); }

}  // namespace baylore::shop::checking
