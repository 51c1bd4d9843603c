#include "tests/compiler/compare/pairs.hpp"

#include "compiler/check/compile.hpp"
#include "tests/compiler/compare/edits.hpp"

namespace lacestay::judges {

std::string EditionFiles::text() const {
  std::string out;
  for (const auto& file : files) out += "--- " + file.name + "\n" + file.text;
  return out;
}

EditionFiles edition_of(std::vector<naive::TextFile> files) {
  EditionFiles edition{std::move(files), nullptr};
  const auto read = [&](const std::string& path) {
    for (const auto& file : edition.files)
      if (file.name == path) return Result<std::string>(file.text);
    return Result<std::string>(Problem{"file-5", "there is none"});
  };
  edition.policy = compiler::compile(edition.files.front().name, edition.files.front().text, read).policy;
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

}  // namespace

Generator generator(const naive::Settings& settings) {
  return [=](std::uint64_t seed, std::optional<std::uint64_t> kit_seed) {
    auto own = settings;
    own.kit_seed = kit_seed;
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
  return pair;
}

}  // namespace lacestay::judges
