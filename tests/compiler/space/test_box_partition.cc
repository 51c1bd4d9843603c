// What is found by partitioning the space, against a look at every place and at every pair.
#include <algorithm>
#include <catch2/catch.hpp>

#include "compiler/proof/proof.hpp"
#include "compiler/space/box_partition.hpp"
#include "compiler/space/meeting.hpp"
#include "compiler/space/uncovered.hpp"
#include "tests/reference/draw.hpp"
#include "tests/support/policy/compiled.hpp"

namespace {

using namespace lacestay;
using compiler::Box;
using compiler::Cell;
using compiler::ColumnId;
using compiler::PlaceRange;
using naive::Draw;

constexpr auto no_limit = std::size_t{1} << 40;

// Boxes over a few columns of a few places; cells of one range, or scattered.
struct Case {
  compiler::Tables tables;
  std::vector<Box> boxes;
  std::vector<const Box*> pointers;

  explicit Case(std::uint64_t seed) {
    Draw draw(seed);
    const auto columns = draw.between(1, 4);
    for (std::int64_t i = 0; i < columns; ++i) {
      tables.columns.emplace_back();
      tables.columns.back().places = static_cast<std::uint32_t>(draw.between(1, 9));
    }
    // Many boxes at times, so that cuts are chosen by some of them; then mostly narrow ones, so that not all meet.
    const bool many = draw.chance(20);
    const auto count = draw.between(0, many ? 700 : 40);
    const auto open = static_cast<int>(draw.between(0, many ? 30 : 90));
    for (std::int64_t i = 0; i < count; ++i) boxes.push_back(box(draw, open));
    for (const auto& each : boxes) pointers.push_back(&each);
  }

  [[nodiscard]] Box box(Draw& draw, int open) const {
    Box made;
    for (std::size_t i = 0; i < tables.columns.size(); ++i) {
      const auto places = tables.columns[i].places;
      if (places == 1 || draw.chance(open)) continue;
      Cell cell{static_cast<ColumnId>(i), {}};
      if (i % 2 == 0) {
        const auto first = draw.place(places);
        const auto last = std::min<std::size_t>(places - 1, first + draw.place(3));
        cell.places = {{static_cast<std::uint32_t>(first), static_cast<std::uint32_t>(last)}};
      } else {
        for (std::uint32_t place = 0; place < places; ++place) {
          if (!draw.chance(30)) continue;
          if (!cell.places.empty() && cell.places.back().last + 1 == place)
            cell.places.back().last = place;
          else
            cell.places.push_back({place, place});
        }
      }
      const bool all = !cell.places.empty() && cell.places.front() == PlaceRange{0, places - 1};
      if (!cell.places.empty() && !all) made.push_back(std::move(cell));
    }
    return made;
  }
};

bool inside(const Box& box, const std::vector<std::uint32_t>& at) {
  return std::all_of(box.begin(), box.end(),
                     [&](const Cell& cell) { return compiler::contains(cell.places, at[cell.column]); });
}

template <typename Visit>
void each_point(const compiler::Tables& tables, Visit visit) {
  std::vector<std::uint32_t> at(tables.columns.size());
  for (;;) {
    visit(at);
    std::size_t column = 0;
    while (column < at.size() && ++at[column] == tables.columns[column].places) at[column++] = 0;
    if (column == at.size()) return;
  }
}

}  // namespace

TEST_CASE("who is uncovered, point by point") {
  for (std::uint64_t seed = 1; seed <= 600; ++seed) {
    INFO("seed " << seed);
    const Case one(seed);
    Draw draw(seed);
    const auto within = one.box(draw, 60);
    const auto found = compiler::uncovered(one.tables, one.pointers, within, no_limit, no_limit);
    REQUIRE(found.complete);
    const auto most = static_cast<std::size_t>(draw.between(1, 5));
    const auto some = compiler::uncovered(one.tables, one.pointers, within, most, no_limit);
    REQUIRE(some.complete == (found.boxes.size() < most));
    REQUIRE(some.boxes.size() == std::min(most, found.boxes.size()));
    if (found.looked_at > 0) {
      const auto unfinished = compiler::uncovered(one.tables, one.pointers, within, no_limit, found.looked_at - 1);
      REQUIRE_FALSE(unfinished.complete);
    }
    std::size_t wrong = 0;
    each_point(one.tables, [&](const std::vector<std::uint32_t>& at) {
      const auto holds = [&](const Box& box) { return inside(box, at); };
      const bool is = holds(within) && std::none_of(one.boxes.begin(), one.boxes.end(), holds);
      const auto times = std::count_if(found.boxes.begin(), found.boxes.end(), holds);
      if (times != (is ? 1 : 0)) ++wrong;
    });
    REQUIRE(wrong == 0);
  }
}

TEST_CASE("who meets whom, pair by pair") {
  for (std::uint64_t seed = 1; seed <= 600; ++seed) {
    INFO("seed " << seed);
    const Case one(seed);
    const auto found = compiler::meeting(one.tables, one.pointers, no_limit);
    REQUIRE(found.complete);
    std::vector<std::pair<std::uint32_t, std::uint32_t>> expected;
    for (std::uint32_t i = 0; i < one.boxes.size(); ++i)
      for (std::uint32_t k = i + 1; k < one.boxes.size(); ++k)
        if (!compiler::is_empty(compiler::shared_box(one.boxes[i], one.boxes[k]))) expected.emplace_back(i, k);
    REQUIRE(found.pairs == expected);
    if (expected.size() > 1) REQUIRE_FALSE(compiler::meeting(one.tables, one.pointers, 1).complete);
  }
}

// Whatever runs out refuses the policy; and what one search can't settle hides nothing that another finds.
TEST_CASE("what is not settled refuses, and hides nothing") {
  const std::string text =
      "policy \"P\"\nedition 1, in force from 1 September 2026\nask age 0 to 99 years, whole\nask build 0 to 99, "
      "whole\n"
      "piece p always\n  q grades a, b\n"
      "rule one\n  set p q to a\n  for age at least 10, age under 20, build at least 5\n"
      "rule two\n  set p q to b\n  for age at least 15, build at most 50\n"
      "rule three\n  set p q to a\n  for age under 12\n";
  const auto policy = tests::policy_of("case.fitting", text);
  const auto kinds = [&](const compiler::ProofBudget& budget) {
    const auto proof = compiler::prove(*policy, budget);
    CHECK(proof.refused());
    CHECK(proof.tables_proved + 1 == proof.tables.first_caution_table());
    std::vector<std::size_t> times(3);
    for (const auto& finding : proof.findings) {
      using Kind = compiler::Finding::Kind;
      times[0] += finding.kind == Kind::gap ? 1 : 0;
      times[1] += finding.kind == Kind::two_answers ? 1 : 0;
      times[2] += finding.kind == Kind::not_settled ? 1 : 0;
    }
    return times;
  };
  const auto settled = kinds({});
  CHECK(settled[0] > 0);
  CHECK(settled[1] == 2);
  CHECK(settled[2] == 0);
  compiler::ProofBudget no_gaps;
  no_gaps.looked_at = 1;
  no_gaps.edges = 4;
  CHECK(kinds(no_gaps) == std::vector<std::size_t>{0, 2, 1});
  compiler::ProofBudget no_clashes;
  no_clashes.compared = 0;
  CHECK(kinds(no_clashes) == std::vector<std::size_t>{settled[0], 0, 1});
  compiler::ProofBudget nothing = no_gaps;
  nothing.compared = 0;
  CHECK(kinds(nothing) == std::vector<std::size_t>{0, 0, 1});
}
