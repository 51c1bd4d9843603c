#include "tests/compiler/compare/pairs.hpp"

#include <catch2/catch.hpp>

#include "tests/compiler/compare/edits.hpp"
#include "tests/reference/generate/generator_nobody.hpp"
#include "tests/support/policy/compiled.hpp"

namespace lacestay::judges {

std::string EditionFiles::text() const {
  std::string out;
  for (const auto& file : files) out += "--- " + file.name + "\n" + file.text;
  return out;
}

EditionFiles edition_of(std::vector<naive::TextFile> files) {
  EditionFiles edition{std::move(files), nullptr};
  edition.policy = tests::compile_files(edition.files).policy;
  return edition;
}

namespace {

// The edition after one edit that compiles; nothing where none of many was found.
std::optional<EditionFiles> edited(const EditionFiles& edition, naive::Draw& draw, EditionPair& pair) {
  std::vector<Edits::Kind> kinds;
  for (const auto& kind : Edits::kinds())
    if (kind.same_answers || !pair.same_answers) kinds.push_back(kind);
  for (int attempts = 0; attempts < 30; ++attempts) {
    const auto kind = draw.pick(kinds);
    auto files = Edits(edition.files, draw).after(kind);
    if (!files) continue;
    auto after = edition_of(std::move(*files));
    if (!after.policy) continue;
    pair.edits.emplace_back(kind.name);
    pair.same_words = pair.same_words && kind.same_words;
    return after;
  }
  return std::nullopt;
}

// Lines on players that cannot be, where the edition still compiles with them; mostly the same in both.
void say_who_cannot_be(EditionPair& pair, std::uint64_t seed, naive::Draw& draw) {
  const bool other_lines = draw.chance(40);
  for (auto* edition : {&pair.editions.earlier, &pair.editions.later}) {
    if (draw.chance(15)) continue;
    auto files = edition->files;
    const bool later = edition == &pair.editions.later;
    files.front().text += "\n" + naive::nobody_for(naive::prepare(files), later && other_lines ? seed + 7 : seed);
    if (auto with = edition_of(std::move(files)); with.policy) *edition = std::move(with);
  }
}

}  // namespace

Generator generator(const naive::Settings& settings) {
  return [=](std::uint64_t seed, std::optional<std::uint64_t> kit_seed) {
    auto own = settings;
    own.kit_seed = kit_seed;
    own.sheets = false;  // edits are made where the trees' spans point
    return naive::generate(seed, own);
  };
}

std::optional<EditionPair> pair_of(std::uint64_t seed, const Generator& generate, bool same_answers) {
  naive::Draw draw(seed * 2 + 1);
  EditionPair pair;
  pair.same_answers = pair.same_words = same_answers;
  pair.editions.earlier = edition_of(generate(seed, std::nullopt).files);
  if (!pair.editions.earlier.policy) return std::nullopt;
  const auto way = same_answers ? 100 : draw.between(1, 100);
  if (way <= 12) {
    const bool same_details = way <= 8;
    const auto other = seed + 1'000'000;
    pair.edits = {same_details ? "another kit over the same details" : "another policy"};
    pair.editions.later = edition_of((same_details ? generate(seed, other) : generate(other, std::nullopt)).files);
    if (!pair.editions.later.policy) return std::nullopt;
    if (seed % 3 == 0) say_who_cannot_be(pair, seed, draw);
    return pair;
  }
  pair.editions.later = pair.editions.earlier;
  for (auto wanted = draw.chance(60) ? 1 : draw.between(2, 5); wanted > 0; --wanted) {
    auto after = edited(pair.editions.later, draw, pair);
    if (!after) return std::nullopt;
    pair.editions.later = std::move(*after);
  }
  if (draw.chance(50)) {
    std::swap(pair.editions.earlier, pair.editions.later);
    for (auto& edit : pair.edits) edit += ", and back";
  }
  if (seed % 3 == 0 && !same_answers) say_who_cannot_be(pair, seed, draw);
  return pair;
}

std::size_t each_pair(const tests::Seeds& seeds, const Generator& generate, bool same_answers,
                      const std::function<void(std::uint64_t seed, const EditionPair& pair)>& check) {
  std::size_t none = 0;
  for (const auto seed : seeds) {
    const auto pair = pair_of(seed, generate, same_answers);
    if (!pair) {
      ++none;
      continue;
    }
    std::string edits;
    for (const auto& edit : pair->edits) edits += "\n  " + edit;
    INFO("seed " << seed << edits << "\n==== before\n"
                 << pair->editions.earlier.text() << "==== now\n"
                 << pair->editions.later.text());
    check(seed, *pair);
  }
  return none;
}

}  // namespace lacestay::judges
