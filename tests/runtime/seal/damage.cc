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
Json* somewhere(Json& document, naive::Draw& draw, std::string& path) {
  auto* at = &document;
  while (at->is_structured() && !at->empty()) {
    if (at != &document && draw.between(1, 8) == 1) return at;
    auto part = at->begin();
    const auto step = draw.place(at->size());
    std::advance(part, static_cast<std::ptrdiff_t>(step));
    path += "/" + (at->is_object() ? part.key() : std::to_string(step));
    at = &*part;
  }
  return at;
}

Json other_number(const Json& was, naive::Draw& draw) {
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
  const auto any = draw.place(near.size() + 3);
  if (any < near.size()) return runtime::sealed_number(near[any]);
  return runtime::sealed_number(draw.between(-20, 179));
}

Json of_another_type(naive::Draw& draw) {
  switch (draw.between(0, 7)) {
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
Json from_elsewhere(Json& document, const Json& like, naive::Draw& draw) {
  for (int tries = 0; tries < 60; ++tries) {
    std::string unused;
    const auto* other = somewhere(document, draw, unused);
    if (other->type() == like.type() && *other != like) return *other;
  }
  return like;
}

std::string damage_once(Json& document, naive::Draw& draw) {
  std::string path;
  auto& at = *somewhere(document, draw, path);
  const auto says = [&](const char* what) { return path + " " + what + "; "; };
  const bool list = at.is_array() && !at.empty();
  switch (draw.between(0, 8)) {
    case 0: at = of_another_type(draw); return says("gets another type");
    case 1: at = from_elsewhere(document, Json(at), draw); return says("is taken from elsewhere");
    case 2:
    case 3:
      if (list) return at.erase(draw.place(at.size())), says("loses an element");
      break;
    case 4:
      if (list) return at.push_back(Json(at[draw.place(at.size())])), says("gets an element twice");
      break;
    case 5:
      if (list) {
        const auto one = draw.place(at.size()), other = draw.place(at.size());
        return std::swap(at[one], at[other]), says("has two elements swapped");
      }
      break;
    case 6:
      if (list) {
        const auto index = draw.place(at.size());
        at[index] = from_elsewhere(document, Json(at[index]), draw);
        return says("gets a foreign element");
      }
      break;
    default: break;
  }
  if (at.is_boolean()) return at = !at.get<bool>(), says("is turned");
  if (at.is_number()) return at = other_number(at, draw), says("is another number");
  if (at.is_string() && draw.chance(50)) return at = at.get<std::string>() + "\u00e9\n", says("is longer");
  at = from_elsewhere(document, Json(at), draw);
  return says("is taken from elsewhere");
}

}  // namespace

std::string damage(Json& document, naive::Draw& draw) {
  std::string all;
  for (auto times = draw.between(1, 3); times > 0; --times) all += damage_once(document, draw);
  return all;
}

std::string sealed_again(Json document) {
  document.erase("sha256");
  document["sha256"] = runtime::sha256(runtime::canonical(document));
  return runtime::canonical(document);
}

}  // namespace lacestay::tests
