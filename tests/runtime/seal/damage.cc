#include "tests/runtime/seal/damage.hpp"

#include <algorithm>
#include <array>
#include <vector>

#include "runtime/base/sha256.hpp"

namespace lacestay::tests {
namespace {

using Json = runtime::SealedJson;

// A walk from the top, at each object or list into any of its parts, so that a part that stands once (a piece's
// presence) is met as often as one that stands in every row.
Json* somewhere(Json& document, std::mt19937_64& random, std::string& path) {
  auto* at = &document;
  while (at->is_structured() && !at->empty()) {
    if (at != &document && random() % 8 == 0) return at;
    auto part = at->begin();
    const auto step = random() % at->size();
    std::advance(part, static_cast<std::ptrdiff_t>(step));
    path += "/" + (at->is_object() ? part.key() : std::to_string(step));
    at = &*part;
  }
  return at;
}

Json other_number(const Json& was, std::mt19937_64& random) {
  const auto held = runtime::number_of(was).value_or(0);
  const std::array<compiler::Int128, 14> near = {held + 1,
                                                 held - 1,
                                                 -held,
                                                 held * 2,
                                                 0,
                                                 1,
                                                 -1,
                                                 255,
                                                 65535,
                                                 (compiler::Int128{1} << 32) - 1,
                                                 (compiler::Int128{1} << 61) + 1,
                                                 (compiler::Int128{1} << 63) - 1,
                                                 -(compiler::Int128{1} << 63),
                                                 (compiler::Int128{1} << 100) + 1};
  const auto any = random() % (near.size() + 3);
  if (any < near.size()) return runtime::sealed_number(near[any]);
  return runtime::sealed_number(static_cast<compiler::Int128>(random() % 200) - 20);
}

Json of_another_type(std::mt19937_64& random) {
  switch (random() % 8) {
    case 0: return nullptr;
    case 1: return true;
    case 2: return "a text";
    case 3: return 7;
    case 4: return Json::array();
    case 5: return Json::object();
    case 6: return 1.5;
    default: return Json::array({0, 0});
  }
}

// Any value of the document that has the same type.
Json from_elsewhere(Json& document, const Json& like, std::mt19937_64& random) {
  for (int tries = 0; tries < 60; ++tries) {
    std::string unused;
    const auto* other = somewhere(document, random, unused);
    if (other->type() == like.type() && *other != like) return *other;
  }
  return like;
}

std::string damage_once(Json& document, std::mt19937_64& random) {
  std::string path;
  auto& at = *somewhere(document, random, path);
  const auto says = [&](const char* what) { return path + " " + what + "; "; };
  const bool list = at.is_array() && !at.empty();
  switch (random() % 9) {
    case 0: at = of_another_type(random); return says("gets another type");
    case 1: at = from_elsewhere(document, Json(at), random); return says("is taken from elsewhere");
    case 2:
    case 3:
      if (list) return at.erase(random() % at.size()), says("loses an element");
      break;
    case 4:
      if (list) return at.push_back(Json(at[random() % at.size()])), says("gets an element twice");
      break;
    case 5:
      if (list) return std::swap(at[random() % at.size()], at[random() % at.size()]), says("has two elements swapped");
      break;
    case 6:
      if (list) {
        const auto index = random() % at.size();
        at[index] = from_elsewhere(document, Json(at[index]), random);
        return says("gets a foreign element");
      }
      break;
    default: break;
  }
  if (at.is_boolean()) return at = !at.get<bool>(), says("is turned");
  if (at.is_number()) return at = other_number(at, random), says("is another number");
  if (at.is_string() && random() % 2 == 0) return at = at.get<std::string>() + "\u00e9\n", says("is longer");
  at = from_elsewhere(document, Json(at), random);
  return says("is taken from elsewhere");
}

}  // namespace

std::string damage(Json& document, std::mt19937_64& random) {
  std::string all;
  for (auto times = 1 + random() % 3; times > 0; --times) all += damage_once(document, random);
  return all;
}

std::string sealed_again(Json document) {
  document.erase("sha256");
  document["sha256"] = runtime::sha256(runtime::canonical(document));
  return runtime::canonical(document);
}

}  // namespace lacestay::tests
