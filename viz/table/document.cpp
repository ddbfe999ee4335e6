#include "viz/table/document.h"

#include "sim/base/version.h"

namespace leverwright::table {

Document::Document(const std::string& format, int version) {
  if (format.empty()) return;
  set("format", "leverwright " + format);
  set("format_version", version);
  set("software_version", base::kVersion);
}

void Document::set(const std::string& key, Json value) {
  blocks_.push_back({key, detail_, std::move(value), false});
}

void Document::heading(const std::string& words) {
  text([words](const Look& look) { return "\n" + paint(words, Colour::kHeading, look) + "\n"; });
}

void Document::note(const std::string& words, const std::string& first, const std::string& rest) {
  text([words, first, rest](const Look& look) { return wrap(words, look.width, first, rest); });
}

void Document::space() {
  text([](const Look&) { return std::string("\n"); });
}

void Document::text(std::function<std::string(const Look&)> write) {
  blocks_.push_back({"", detail_, std::move(write), false});
}

Table& Document::table(const std::string& key) {
  blocks_.push_back({key, detail_, Table{key, {}, {}, 2, ""}, false});
  return std::get<Table>(blocks_.back().what);
}

void Document::add_to(const std::string& key, Document part) {
  blocks_.push_back({key, detail_, std::make_shared<Document>(std::move(part)), true});
}

void Document::member(const std::string& key, Document part) {
  blocks_.push_back({key, detail_, std::make_shared<Document>(std::move(part)), false});
}

void Document::details(const std::string& what) { detail_ = what; }

}  // namespace leverwright::table
