#include "tests/support/schema_check.hpp"

#include <algorithm>
#include <regex>
#include <set>

namespace lacestay::tests {

namespace {

using Json = nlohmann::json;

const std::set<std::string> known_words = {"$schema",
                                           "$id",
                                           "$defs",
                                           "title",
                                           "description",
                                           "type",
                                           "const",
                                           "enum",
                                           "required",
                                           "properties",
                                           "items",
                                           "oneOf",
                                           "additionalProperties",
                                           "minItems",
                                           "if",
                                           "then",
                                           "else",
                                           "maxItems",
                                           "uniqueItems",
                                           "minimum",
                                           "$ref",
                                           "pattern"};

bool is_of(const std::string& type, const Json& value) {
  if (type == "null") return value.is_null();
  if (type == "boolean") return value.is_boolean();
  if (type == "integer") return value.is_number_integer();
  if (type == "string") return value.is_string();
  if (type == "array") return value.is_array();
  return type == "object" && value.is_object();
}

class Check {
 public:
  explicit Check(const Json& root) : root_(root) {}

  void all(const Json& schema, const Json& value, const std::string& at) {
    for (const auto& [word, unused] : schema.items())
      if (known_words.count(word) == 0) say(at, "the schema says " + word + ", which this check does not know");
    if (schema.contains("$ref"))
      all(root_.at(Json::json_pointer(schema["$ref"].get<std::string>().substr(1))), value, at);
    if (schema.contains("type")) type(schema["type"], value, at);
    if (schema.contains("const") && value != schema["const"]) say(at, "is not " + schema["const"].dump());
    if (schema.contains("enum") && std::count(schema["enum"].begin(), schema["enum"].end(), value) == 0)
      say(at, value.dump() + " is none of " + schema["enum"].dump());
    if (schema.contains("minimum") && value.is_number() && value < schema["minimum"]) say(at, "is too small");
    if (schema.contains("pattern") && value.is_string() &&
        !std::regex_search(value.get<std::string>(), std::regex(schema["pattern"].get<std::string>())))
      say(at, "does not match");
    if (value.is_object()) object(schema, value, at);
    if (value.is_array()) array(schema, value, at);
    if (schema.contains("oneOf") && std::count_if(schema["oneOf"].begin(), schema["oneOf"].end(),
                                                  [&](const Json& each) { return holds(each, value); }) != 1)
      one_of(schema["oneOf"], value, at);
    if (schema.contains("if")) {
      const auto* branch = holds(schema["if"], value) ? "then" : "else";
      if (schema.contains(branch)) all(schema[branch], value, at);
    }
  }

  std::vector<std::string> faults;

 private:
  void say(const std::string& at, const std::string& what) { faults.push_back(at + ": " + what); }

  bool holds(const Json& schema, const Json& value) const {
    Check check(root_);
    check.all(schema, value, "");
    return check.faults.empty();
  }

  void type(const Json& types, const Json& value, const std::string& at) {
    const auto list = types.is_array() ? types : Json::array({types});
    if (std::none_of(list.begin(), list.end(), [&](const Json& each) { return is_of(each, value); }))
      say(at, "is no " + types.dump());
  }

  // What the last alternative finds wrong says more than that none fits: it is the one that is not null.
  void one_of(const Json& alternatives, const Json& value, const std::string& at) {
    say(at, "is not exactly one of its alternatives");
    if (!value.is_null()) all(alternatives.back(), value, at);
  }

  void object(const Json& schema, const Json& value, const std::string& at) {
    if (schema.contains("required"))
      for (const auto& name : schema["required"])
        if (!value.contains(name.get<std::string>())) say(at, "wants " + name.get<std::string>());
    const auto properties = schema.value("properties", Json::object());
    for (const auto& [name, part] : value.items()) {
      if (properties.contains(name))
        all(properties[name], part, at + "/" + name);
      else if (schema.contains("additionalProperties") && schema["additionalProperties"] == false)
        say(at, "has " + name + ", which the schema does not know");
    }
  }

  void array(const Json& schema, const Json& value, const std::string& at) {
    if (schema.contains("minItems") && value.size() < schema["minItems"]) say(at, "has too few items");
    if (schema.contains("maxItems") && value.size() > schema["maxItems"]) say(at, "has too many items");
    if (schema.value("uniqueItems", false) && std::set<Json>(value.begin(), value.end()).size() != value.size())
      say(at, "has an item twice");
    if (!schema.contains("items")) return;
    for (std::size_t i = 0; i < value.size(); ++i) all(schema["items"], value[i], at + "/" + std::to_string(i));
  }

  const Json& root_;
};

}  // namespace

std::vector<std::string> schema_faults(const Json& schema, const Json& value) {
  Check check(schema);
  check.all(schema, value, "");
  return check.faults;
}

}  // namespace lacestay::tests
