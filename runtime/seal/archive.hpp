// A policy's parts to JSON and back, by the lists of fields.hpp. Inner to runtime/.
//
// Structs are objects with every key; what may be absent is null; enumerators are words; pairs and ranges of places are
// lists of two; numbers are spelled as json.hpp says.
#pragma once

#include <fmt/format.h>

#include <limits>
#include <type_traits>

#include "runtime/seal/faults.hpp"
#include "runtime/seal/fields.hpp"
#include "runtime/seal/sources.hpp"

namespace lacestay::runtime {

template <typename T>
inline constexpr bool is_vector = false;
template <typename T>
inline constexpr bool is_vector<std::vector<T>> = true;
template <typename T>
inline constexpr bool is_optional = false;
template <typename T>
inline constexpr bool is_optional<std::optional<T>> = true;
template <typename T>
inline constexpr bool is_number =
    (std::is_integral_v<T> && !std::is_same_v<T, bool>) || std::is_same_v<T, compiler::Int128>;

class SealWriter {
 public:
  SealWriter(SourceKeeper& sources, int form) : sources_(sources), form_(form) {}

  template <typename T>
  SealedJson write(const T& value) {
    if constexpr (std::is_same_v<T, bool> || std::is_same_v<T, std::string>) {
      return value;
    } else if constexpr (is_number<T>) {
      return sealed_number(value);
    } else if constexpr (std::is_enum_v<T>) {
      return words_of<T>[static_cast<std::size_t>(value)];
    } else if constexpr (is_optional<T>) {
      return value ? write(*value) : SealedJson(nullptr);
    } else if constexpr (std::is_same_v<T, std::vector<compiler::Acceptance>>) {
      // Before that form a piece had one such line, or null.
      if (form_ >= several_accepts_since) return list(value);
      return value.empty() ? SealedJson(nullptr) : write(value.front());
    } else if constexpr (is_vector<T>) {
      return list(value);
    } else if constexpr (std::is_same_v<T, grammar::Span>) {
      return sources_.span(value);
    } else if constexpr (std::is_same_v<T, compiler::PlaceRange>) {
      return SealedJson::array({value.first, value.last});
    } else if constexpr (std::is_same_v<T, std::pair<compiler::RuleId, compiler::RuleId>>) {
      return SealedJson::array({value.first, value.second});
    } else {
      auto object = SealedJson::object();
      const auto add = [&](const auto& each) {
        if (each.since <= form_) object[each.key] = write(value.*each.member);
      };
      std::apply([&](const auto&... each) { (add(each), ...); }, fields_of<T>);
      return object;
    }
  }

 private:
  template <typename T>
  SealedJson list(const std::vector<T>& value) {
    auto all = SealedJson::array();
    for (const T& each : value) all.push_back(write(each));
    return all;
  }

  SourceKeeper& sources_;
  int form_;
};

class SealReader {
 public:
  SealReader(const SourceRebuilder& sources, int form) : sources_(sources), form_(form) {}

  // Throws SealedFault. What it reads has the right types; whether it hangs together is for `hold_together`.
  template <typename T>
  void read(const SealedJson& json, T& value) {
    if constexpr (std::is_same_v<T, bool>) {
      if (!json.is_boolean()) wrong("true or false");
      value = json.get<bool>();
    } else if constexpr (std::is_same_v<T, std::string>) {
      if (!json.is_string()) wrong("a text");
      value = json.get<std::string>();
    } else if constexpr (is_number<T>) {
      number(json, value);
    } else if constexpr (std::is_enum_v<T>) {
      word(json, value);
    } else if constexpr (is_optional<T>) {
      if (json.is_null()) return value.reset();
      read(json, value.emplace());
    } else if constexpr (std::is_same_v<T, std::vector<compiler::Acceptance>>) {
      if (form_ >= several_accepts_since) return list(json, value);
      value.clear();
      if (!json.is_null()) read(json, value.emplace_back());
    } else if constexpr (is_vector<T>) {
      list(json, value);
    } else if constexpr (std::is_same_v<T, grammar::Span>) {
      const auto span = sources_.span(json);
      if (!span) wrong("a place in a line that the document keeps");
      value = *span;
    } else if constexpr (std::is_same_v<T, compiler::PlaceRange>) {
      two(json, value.first, value.last);
    } else if constexpr (std::is_same_v<T, std::pair<compiler::RuleId, compiler::RuleId>>) {
      two(json, value.first, value.second);
    } else {
      if (!json.is_object()) wrong("an object");
      read_fields(json, value);
      if (json.size() != keys_in<T>(form_)) wrong("without other keys");
    }
  }

  // The struct's own keys of an object that may have others.
  template <typename T>
  void read_fields(const SealedJson& json, T& value) {
    const auto one = [&](const auto& each) {
      if (each.since <= form_) at(json, each.key, value.*each.member);
    };
    std::apply([&](const auto&... each) { (one(each), ...); }, fields_of<T>);
  }

 private:
  [[noreturn]] void wrong(const char* due) const { throw SealedFault{fmt::format("{} is not {}", place_, due)}; }

  // Reads a part with its place noted; where that throws, the place stays for the message.
  template <typename T>
  void inside(const std::string& step, const SealedJson& json, T& value) {
    const auto length = place_.size();
    place_ += "/" + step;
    read(json, value);
    place_.resize(length);
  }
  template <typename T>
  void at(const SealedJson& json, const char* key, T& value) {
    const auto found = json.find(key);
    if (found == json.end()) throw SealedFault{fmt::format("{}/{} is missing", place_, key)};
    inside(key, *found, value);
  }
  template <typename T>
  void number(const SealedJson& json, T& value) const {
    const auto held = number_of(json);
    if (!held) wrong("a whole number as the form spells it");
    if constexpr (!std::is_same_v<T, compiler::Int128>)
      if (*held < std::numeric_limits<T>::min() || *held > std::numeric_limits<T>::max()) wrong("within its range");
    value = static_cast<T>(*held);
  }
  template <typename T>
  void word(const SealedJson& json, T& value) const {
    const auto& words = words_of<T>;
    for (std::size_t i = 0; i < words.size() && json.is_string(); ++i)
      if (json.get_ref<const std::string&>() == words[i]) return void(value = static_cast<T>(i));
    wrong("one of the words that may stand there");
  }
  template <typename T>
  void list(const SealedJson& json, std::vector<T>& value) {
    if (!json.is_array()) wrong("a list");
    value.clear();
    for (std::size_t i = 0; i < json.size(); ++i) {
      T each{};
      inside(fmt::format("{}", i), json[i], each);
      value.push_back(std::move(each));
    }
  }
  template <typename T>
  void two(const SealedJson& json, T& first, T& second) {
    if (!json.is_array() || json.size() != 2) wrong("a list of two");
    inside("0", json[0], first);
    inside("1", json[1], second);
  }

  const SourceRebuilder& sources_;
  int form_;
  std::string place_;
};

}  // namespace lacestay::runtime
