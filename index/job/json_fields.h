// Typed access to the fields of a JSON object: a missing field leaves what was there, a field of
// another type is an error. Nothing throws.
#pragma once

#include <cstdint>
#include <nlohmann/json.hpp>
#include <string>
#include <string_view>

namespace baylore::job {

using Json = nlohmann::json;

// The object in `text`; a discarded value when it is no JSON object.
inline Json parse_object(std::string_view text) {
  Json value = Json::parse(text.begin(), text.end(), nullptr, false);
  return value.is_object() ? value : Json(Json::value_t::discarded);
}

// Two-space indentation and a final newline, so that people and merges can read it; bytes that are
// no UTF-8 become U+FFFD.
inline std::string dump(const Json& value) {
  return value.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

// Reads fields one after another and remembers whether one had another type or was out of range.
class Fields {
 public:
  explicit Fields(const Json& object) : object_(object) {}

  [[nodiscard]] bool good() const { return good_; }
  void refuse() { good_ = false; }

  void text(const char* key, std::string& into) {
    const Json* value = find(key);
    if (value == nullptr) return;
    const auto* text = value->get_ptr<const std::string*>();
    if (text == nullptr) return refuse();
    into = *text;
  }
  void integer(const char* key, int least, int most, int& into) {
    const Json* value = find(key);
    if (value == nullptr) return;
    if (!value->is_number_integer()) return refuse();
    // Unsigned numbers beyond the signed range would wrap into it.
    if (value->is_number_unsigned() &&
        *value->get_ptr<const std::uint64_t*>() > static_cast<std::uint64_t>(INT64_MAX)) {
      return refuse();
    }
    const auto number = value->get<std::int64_t>();
    if (number < least || number > most) return refuse();
    into = static_cast<int>(number);
  }
  void real(const char* key, double least, double most, double& into) {
    const Json* value = find(key);
    if (value == nullptr) return;
    if (!value->is_number()) return refuse();
    const auto number = value->get<double>();
    if (!(number >= least && number <= most)) return refuse();
    into = number;
  }
  void boolean(const char* key, bool& into) {
    const Json* value = find(key);
    if (value == nullptr) return;
    const auto* flag = value->get_ptr<const bool*>();
    if (flag == nullptr) return refuse();
    into = *flag;
  }
  // The field when it is there and an array (or an object); nullptr otherwise, refused when it is
  // something else.
  const Json* array(const char* key) { return typed(key, Json::value_t::array); }
  const Json* object(const char* key) { return typed(key, Json::value_t::object); }

 private:
  [[nodiscard]] const Json* find(const char* key) const {
    const auto at = object_.find(key);
    return at == object_.end() ? nullptr : &*at;
  }
  const Json* typed(const char* key, Json::value_t type) {
    const Json* value = find(key);
    if (value != nullptr && value->type() != type) {
      refuse();
      return nullptr;
    }
    return value;
  }

  const Json& object_;
  bool good_ = true;
};

}  // namespace baylore::job
