// Real people put through the shipped policy, and what they left with.
//
// The data sets hold age, height and weight (Davis and pspp's no age), sex but for selfreport, and some a girth. The
// other details are supplied here, from a seed:
//   drawn        role, skill, contact, sessions, league, wishes (no set knows them); age where the set has none (18 to
//                60); sex where it has none; the age class, to fit the age
//   in the first pass drawn, near the body's size: feet, head, neck, chest, waist, forearm and shin; position and hand;
//                and birth_day, to fit the age. So each detail is known, and the kit must be complete: one answer each
//   in the second pass left blank       the same, and whatever the set itself lacks but for the first line
// Of the 507 adults' 21 girths and breadths two are measures the shop takes: the chest's girth (ChestG), and, as the
// waist, which the shop takes at the navel, the abdomen's there (AbdG), not the waist at its narrowest (WaistG). The
// others fit no detail: girths of shoulder, hip, thigh, upper arm, forearm, knee, calf, ankle and wrist, and nine
// breadths of bones (shoulders, hips twice, chest twice, elbow, wrist, knee, ankle). Of forearm and shin the shop takes
// the length; of foot, head and neck, which it takes too, the set has nothing.
// Each test prints the counts, and for the first pass how many got which grade, size and flex, and what was left to the
// fitter and by which rule. LACESTAY_WHOLE takes everyone in the first pass, and ten times as many in the second.
#pragma once

#include <cstddef>
#include <map>
#include <string>
#include <vector>

#include "runtime/advice/advice.hpp"
#include "tests/reference/draw.hpp"
#include "tests/runtime/compare/people.hpp"

namespace lacestay::tests {

// The domains the shop declares, written again here by hand, in the unit the people are given in; and as the policy
// says them.
struct Accepted {
  double lowest, highest;
  const char* told;
};
[[nodiscard]] const std::map<std::string, Accepted>& accepted();

enum class Rest { drawn, blank };

// What a set of people left with: by property, how many got which answer.
struct Tally {
  std::map<std::string, std::map<std::string, std::size_t>> answers;
  std::map<std::string, std::size_t> referred;  // by rule
};

struct Counts {
  std::size_t advised = 0, incomplete = 0, outside = 0, answers = 0, open = 0, inexact = 0;
  std::map<std::string, std::size_t> outside_by;
  std::size_t shut_out = 0;  // by a line on players that cannot be
  Tally tally;               // of those whose every detail is known
};

[[nodiscard]] std::string in_words(const runtime::Answer& answer);

// Fails the test case where the advice of this one has a fault, or what is outside of a domain is not told.
void advise_one(const Person& person, Rest rest, naive::Draw& draw, Counts& counts);

// Both passes over a set; the second, with blanks, over fewer.
void advise_all(const std::string& set, const std::string& supplied, std::vector<Person> people, std::size_t sample,
                std::size_t with_blanks);

// How many were advised, how many were told what is outside, and what is open.
[[nodiscard]] std::string told(const Counts& counts);

}  // namespace lacestay::tests
