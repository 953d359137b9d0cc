#include "shop_text.h"

#include <utility>

#include "shop/document.h"
#include "shop/tip.h"

namespace baylore::benchmark {
namespace {

void add(std::string& body, std::string_view text) {
  if (text.empty()) return;
  body += text;
  body += '\n';
}

// The free text of a section, and of one with entries what is before them.
std::string_view free_text(const shop::Prose& section) {
  for (const char* entries : {"checks", "fasteners", "parts", "verify", "location"}) {
    if (section.key == entries) return section.text;
  }
  return section.body;
}

}  // namespace

Document plain_text(std::string_view bytes, const std::string& path) {
  const shop::Tip tip = shop::read_tip(shop::Document::parse(std::string(bytes)), path);
  Document document;
  document.id = tip.id;
  document.title = tip.title;
  std::string& body = document.body;
  for (const shop::Fit& fit : tip.fits) add(body, fit.make + ' ' + fit.model + ' ' + fit.engine);
  for (const std::string& code : tip.codes) add(body, code);
  add(body, tip.component);
  add(body, tip.system);
  for (const std::string& when : tip.when) add(body, when);
  for (const shop::MistakenFor& link : tip.mistaken_for) add(body, link.note);
  add(body, tip.author);
  for (const shop::Prose& section : tip.sections) {
    add(body, free_text(section));
    if (section.key == "checks") {
      for (const shop::Check& check : tip.checks) {
        add(body, check.name);
        add(body, check.tools);
        add(body, check.valid);
        add(body, check.expect_text);
        add(body, check.text);
      }
    } else if (section.key == "location") {
      for (const shop::Picture& picture : tip.pictures) {
        add(body, picture.caption);
        for (const shop::Mark& mark : picture.marks) add(body, mark.text);
      }
    } else if (section.key == "fasteners") {
      for (const shop::Fastener& fastener : tip.fasteners) {
        add(body, fastener.name + ' ' + fastener.thread + ' ' + fastener.property_class);
        add(body, fastener.text);
      }
    } else if (section.key == "parts") {
      for (const shop::PartRef& part : tip.parts) {
        add(body, part.name + ' ' + part.family);
        add(body, part.text);
      }
    } else if (section.key == "verify") {
      for (const shop::Verification& verification : tip.verify) {
        add(body, verification.name);
        add(body, verification.text);
      }
    }
  }
  return document;
}

void each_document(const store::Store& store, const std::function<void(const Document&)>& visit) {
  store.each([&](const store::TipRow& row, const std::string& bytes) {
    Document document = plain_text(bytes, row.path);
    document.id = row.id;
    visit(document);
  });
}

}  // namespace baylore::benchmark
