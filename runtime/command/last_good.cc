#include "runtime/command/last_good.hpp"

#include <fmt/format.h>

#include <filesystem>

#include "compiler/check/compile.hpp"
#include "runtime/command/command_line.hpp"
#include "runtime/seal/sealed_policy.hpp"

namespace lacestay::runtime {

LastGood::LastGood(std::string path) : path_(std::move(path)) {
  std::error_code unknown;
  if (!std::filesystem::is_regular_file(path_, unknown)) return;  // what stands in the way is told when it is written
  const auto held = compiler::read_text_file(path_, largest_sealed);
  if (!held) throw Stop{file_trouble, fmt::format("'{}' can't be read: {}.\n", path_, held.problem().message)};
  const auto& text = *held;
  // One in another form, or damaged, was sealed all the same; other JSON was not.
  if (!looks_sealed(text) || text.find("\"lacestay\":") == text.npos || text.find("\"sha256\":") == text.npos)
    throw Stop{file_trouble,
               fmt::format("'{}' holds something that is no sealed policy, and is left as it is; name another file.\n",
                           path_)};
  auto unsealed = unseal(text);
  if (unsealed)
    before_ = now_ = edition_of(*unsealed->policy, unsealed->sha256);
  else
    unusable_ = unsealed.problem().message;
}

LastGood::Edition LastGood::edition_of(const compiler::Policy& policy, std::string sha256) {
  const auto day = [](std::int64_t number) { return compiler::show(number, compiler::Dimension::day, {}); };
  auto in_force = "in force from " + day(policy.in_force_from);
  if (policy.in_force_to) in_force += " to " + day(*policy.in_force_to);
  return {policy.title, std::move(in_force), std::move(sha256), policy.edition};
}

std::string LastGood::replace(const compiler::Policy& policy) {
  const auto document = seal(policy);
  if (document.size() > largest_sealed)
    throw Stop{not_so, fmt::format("The policy is too large to be sealed: {} bytes, and {} MiB is the most.\n",
                                   document.size(), largest_sealed >> 20)};
  write_file(path_, document);
  written_ = true;
  now_ = edition_of(policy, sha256_in(document));
  auto told = fmt::format("Sealed in {}: {}, edition {}, {} ({}).\n", path_, now_->title, now_->number, now_->in_force,
                          now_->short_sha256());
  if (!before_)
    return told + (unusable_.empty() ? "" : fmt::format("What it held before could not be used: {}.\n", unusable_));
  if (before_->sha256 == now_->sha256) return told + "It held just that before.\n";
  const auto title = before_->title == now_->title ? "" : before_->title + ", ";
  const bool same_number = before_->number == now_->number && title.empty();
  return told + fmt::format("Before, it held {}{}edition {}, {} ({}).\n", title,
                            same_number ? "another wording of " : "", before_->number, before_->in_force,
                            before_->short_sha256());
}

std::string LastGood::left() const {
  if (now_)
    return fmt::format("{} still holds {}, edition {}, {} ({}): what is pointed at it goes on with that.\n", path_,
                       now_->title, now_->number, now_->in_force, now_->short_sha256());
  if (!unusable_.empty()) return fmt::format("{} is left as it was, but can't be used: {}.\n", path_, unusable_);
  return fmt::format("{} is not written: only a policy that is proved is sealed.\n", path_);
}

nlohmann::ordered_json LastGood::json_of(const std::optional<Edition>& edition) {
  if (!edition) return nullptr;
  return {{"policy", edition->title}, {"edition", edition->number}, {"sha256", edition->sha256}};
}

nlohmann::ordered_json LastGood::json() const {
  return {{"file", path_}, {"written", written_}, {"holds", json_of(now_)}, {"held_before", json_of(before_)}};
}

}  // namespace lacestay::runtime
