// Answers that leave a choice open: several of its members, any of which will do.
//
// An answer of a choice is its member's place, a step like any other. Several members are one number past every step:
// a bit for each of them. So rows and outcomes keep one form, and what compares them as numbers stays right.
#pragma once

#include <bit>
#include <cstdint>

namespace lacestay::compiler {

using MemberSet = std::uint64_t;  // a bit for each member, by its place

// The most members of a choice that may be left open.
inline constexpr std::uint32_t most_left_open = 32;
// Past every step.
inline constexpr std::int64_t several_from = std::int64_t{1} << 40;

[[nodiscard]] constexpr bool leaves_open(std::int64_t answer) { return answer >= several_from; }
// Of a choice of at most `most_left_open` members.
[[nodiscard]] constexpr MemberSet members_of(std::int64_t answer) {
  return leaves_open(answer) ? static_cast<MemberSet>(answer - several_from) : MemberSet{1} << answer;
}
[[nodiscard]] constexpr MemberSet all_members(std::uint32_t count) { return (MemberSet{1} << count) - 1; }
[[nodiscard]] constexpr bool has_member(MemberSet members, std::int64_t place) { return (members >> place & 1) != 0; }
// `members` is not empty.
[[nodiscard]] constexpr std::int64_t answer_of(MemberSet members) {
  return std::has_single_bit(members) ? std::countr_zero(members) : several_from + static_cast<std::int64_t>(members);
}

}  // namespace lacestay::compiler
