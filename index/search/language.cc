#include "search/language.h"

#include <algorithm>
#include <atomic>
#include <iterator>

#include "shop/fold.h"

namespace baylore::search {
namespace {

std::string joined(const std::vector<std::string>& words) {
  std::string all;
  for (const std::string& word : words) all += word;
  return all;
}

}  // namespace

Language::Language(const shop::Vocabulary& vocabulary)
    : models_(vocabulary.models), phrases_(vocabulary) {
  static std::atomic<std::uint64_t> last{0};
  serial_ = ++last;

  const auto spelt = [this](const std::string& joined_name, const Name& name) {
    if (joined_name.empty()) return;
    std::vector<Name>& names = names_[joined_name];
    const bool there = std::any_of(names.begin(), names.end(), [&](const Name& known) {
      return known.make == name.make && known.model == name.model;
    });
    if (!there) names.push_back(name);
  };
  const auto keep = [this](const std::vector<std::string>& words, bool of_the_trade) {
    for (const std::string& word : words) {
      words_.insert(word);
      if (of_the_trade) trade_words_.insert(word);
    }
  };
  std::unordered_set<std::string> engines;
  for (std::size_t i = 0; i < models_.size(); ++i) {
    const shop::Model& model = models_[i];
    const std::vector<std::string> make = shop::words_of(model.make);
    const std::vector<std::string> name = shop::words_of(model.name);
    keep(make, false);
    keep(name, false);
    spelt(joined(name), {model.make, model.name});
    spelt(joined(make) + joined(name), {model.make, model.name});
    spelt(joined(make), {model.make, {}});
    longest_name_ = std::max(longest_name_, make.size() + name.size());
    by_make_[model.make].push_back(i);
    by_model_[model.name].push_back(i);
    for (const std::string& engine : model.engines) {
      if (!engines.insert(engine).second) continue;
      all_engines_.names.push_back(engine);
      all_engines_.engines.push_back(read_engine(engine));
      keep(all_engines_.engines.back().words, false);
    }
  }
  for (const shop::Component& component : vocabulary.components) {
    keep(shop::words_of(component.name), true);
    keep(shop::words_of(component.system), false);
    for (const std::string& also : component.also) keep(shop::words_of(also), true);
  }
  for (const std::vector<std::string>& group : vocabulary.synonyms) {
    for (const std::string& wording : group) keep(shop::words_of(wording), true);
  }
  for (const std::vector<std::string>& group : vocabulary.abbreviations) {
    for (const std::string& wording : group) keep(shop::words_of(wording), true);
  }
  for (const shop::OneWay& line : vocabulary.one_way) {
    for (const std::string& wording : line.from) keep(shop::words_of(wording), true);
    for (const std::string& wording : line.to) keep(shop::words_of(wording), true);
  }
}

const std::vector<Language::Name>& Language::named(std::string_view joined_name) const {
  static const std::vector<Name> kNone;
  const auto found = names_.find(joined_name);
  return found == names_.end() ? kNone : found->second;
}

bool Language::trade_word(std::string_view word) const { return trade_words_.contains(word); }

// Calls `visit` for the models until it gives back true.
template <class Visit>
void Language::each_model(std::string_view make, std::string_view model, const Visit& visit) const {
  const auto matches = [&](const shop::Model& each) {
    return (make.empty() || each.make == make) && (model.empty() || each.name == model);
  };
  if (make.empty() && model.empty()) {
    for (const shop::Model& each : models_) {
      if (visit(each)) return;
    }
    return;
  }
  const auto& by = model.empty() ? by_make_ : by_model_;
  const auto found = by.find(model.empty() ? make : model);
  if (found == by.end()) return;
  for (const std::size_t i : found->second) {
    if (matches(models_[i]) && visit(models_[i])) return;
  }
}

Language::Engines Language::engines_of(std::string_view make, std::string_view model) const {
  if (make.empty() && model.empty()) return all_engines_;
  Engines some;
  each_model(make, model, [&](const shop::Model& each) {
    for (const std::string& engine : each.engines) {
      if (std::find(some.names.begin(), some.names.end(), engine) == some.names.end()) {
        some.names.push_back(engine);
      }
    }
    return false;
  });
  some.engines.reserve(some.names.size());
  std::transform(some.names.begin(), some.names.end(), std::back_inserter(some.engines),
                 [](const std::string& name) { return read_engine(name); });
  return some;
}

bool Language::built(std::string_view make, std::string_view model, int year) const {
  bool any = false;
  each_model(make, model, [&](const shop::Model& each) {
    any = (each.first_year != 0 || each.last_year != 0) &&
          (each.first_year == 0 || each.first_year <= year) &&
          (each.last_year == 0 || year <= each.last_year);
    return any;
  });
  return any;
}

}  // namespace baylore::search
