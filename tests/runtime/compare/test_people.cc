// Real people through the shipped policy: each is advised without a fault, or is told which measure the policy does
// not accept and what it does. What is taken from each set, and what is supplied, advised_people.hpp says.
#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cstdlib>

#include "tests/runtime/compare/advised_people.hpp"
#include "tests/support/policy/shipped.hpp"

namespace {

using namespace lacestay;
using namespace lacestay::tests;

TEST_CASE("the domains written here are the shop's") {
  const auto& policy = shipped().policy();
  std::size_t seen = 0;
  for (std::size_t i = 0; i < policy.details.size(); ++i) {
    const auto& text = policy.details[i];
    const auto known = accepted().find(text.name);
    if (known == accepted().end()) continue;
    ++seen;
    const auto& domain = policy.tables.asked[i];
    CHECK(fmt::format("{} to {}", text.scale.write(domain.lowest), text.scale.write(domain.highest)) ==
          known->second.told);
  }
  CHECK(seen == accepted().size());
}

// Debian package r-cran-mice 3.15.0, object fdgs in mice/data/Rdata: the Fifth Dutch Growth Study 2009, 10,030
// children.
TEST_CASE("Dutch children, 0 to 21 years") {
  const auto rows = rows_of("children_fdgs.csv");
  if (!rows) return;
  REQUIRE(rows->size() == 10'030);
  advise_all(
      "children_fdgs.csv", "age, height, weight theirs, the rest drawn",
      people_of("children_fdgs.csv", *rows, {{"age", "age"}, {"height", "hgt"}, {"weight", "wgt"}, {"sex", "sex"}}),
      1'500, 60);
}

// The same package, object boys: 748 boys of the Fourth Dutch Growth Study, with head girth (hc).
TEST_CASE("Dutch boys, with head girth") {
  const auto rows = rows_of("children_boys.csv");
  if (!rows) return;
  REQUIRE(rows->size() == 748);
  advise_all("children_boys.csv", "age, height, weight, head girth theirs, the rest drawn",
             people_of("children_boys.csv", *rows,
                       {{"age", "age"}, {"height", "hgt"}, {"weight", "wgt"}, {"head_girth", "hc"}}),
             748, 60);
}

// Of the 684 with height, weight and head girth, those of our ages; the others are babies and toddlers. A larger head
// never gets a smaller helmet, and no size between the smallest and the largest stays on the shelf; past the largest
// the fitter is asked.
TEST_CASE("Dutch boys: head girths fall into helmet sizes without a gap") {
  const auto rows = rows_of("children_boys.csv");
  if (!rows) return;
  static const std::vector<std::string> sizes = {"x_small", "small", "medium", "large", "x_large", "the fitter"};
  const auto& policy = shipped().policy();
  compiler::TableId helmet_size = 0;
  while (policy.properties[helmet_size].name != "size" ||
         policy.pieces[policy.properties[helmet_size].piece].name != "helmet")
    ++helmet_size;
  std::map<double, std::size_t> size_of;
  std::vector<std::size_t> people(sizes.size());
  std::size_t measured = 0, too_young = 0;
  grammar::Diagnostics problems;
  for (const auto& row : *rows) {
    if (!row.count("hgt") || !row.count("wgt") || !row.count("hc")) continue;
    ++measured;
    const double girth = std::strtod(row.at("hc").c_str(), nullptr);
    if (girth < accepted().at("head_girth").lowest || girth > accepted().at("head_girth").highest) {
      ++too_young;
      CHECK(std::strtod(row.at("age").c_str(), nullptr) < 4);
      continue;
    }
    runtime::PlayerReader reader(shipped().policy(), problems);
    reader.set("role", "skater");
    reader.set("head_girth", row.at("hc") + " cm");
    const auto answer = runtime::explain(shipped(), reader.take().value(), helmet_size);
    REQUIRE(answer.certain);
    const bool referred = answer.standing == runtime::Standing::referred;  // past the largest the shop keeps
    const auto size = referred ? sizes.end() - 1 : std::find(sizes.begin(), sizes.end(), in_words(answer));
    REQUIRE(size != sizes.end());
    size_of[girth] = static_cast<std::size_t>(size - sizes.begin());
    ++people[size_of[girth]];
  }
  CHECK(problems.sorted().empty());
  CHECK(measured == 684);
  std::size_t last = size_of.begin()->second;
  for (const auto& [girth, size] : size_of) {
    INFO(girth << " cm");
    CHECK(size >= last);
    CHECK((size <= last + 1 || sizes[size] == "the fitter"));
    last = size;
  }
  std::string line;
  for (std::size_t i = 0; i < sizes.size(); ++i) line += fmt::format(", {} {}", sizes[i], people[i]);
  fmt::print("people: 684 head girths: {} under 44 cm, all under four years{}\n", too_young, line);
}

// Debian package r-cran-gclus 1.3.2, object body in gclus/data/body.RData: 507 active adults (Heinz et al. 2003). AbdG
// is the girth at the navel, where the shop takes the waist.
TEST_CASE("adults, with chest and waist") {
  const auto rows = rows_of("adults_body.csv");
  if (!rows) return;
  REQUIRE(rows->size() == 507);
  advise_all("adults_body.csv", "age, height, weight, chest, waist theirs, the rest drawn",
             people_of("adults_body.csv", *rows,
                       {{"age", "Age"},
                        {"height", "Height"},
                        {"weight", "Weight"},
                        {"chest", "ChestG"},
                        {"waist", "AbdG"},
                        {"sex", "Gender"}}),
             507, 60);
}

// Debian package r-cran-mice 3.15.0, object selfreport: 2,060 adults, 1,257 of them measured (hm, wm), the others by
// their own word (hr, wr).
TEST_CASE("adults, measured or by their own word") {
  auto rows = rows_of("selfreport.csv");
  if (!rows) return;
  REQUIRE(rows->size() == 2'060);
  std::size_t measured = 0;
  for (auto& row : *rows) {
    measured += row.count("hm") && row.count("wm") ? 1 : 0;
    row["height"] = row.count("hm") ? row["hm"] : row["hr"];
    row["weight"] = row.count("wm") ? row["wm"] : row["wr"];
  }
  CHECK(measured == 1'257);
  advise_all("selfreport.csv", "age, height, weight theirs, the rest drawn",
             people_of("selfreport.csv", *rows, {{"age", "age"}, {"height", "height"}, {"weight", "weight"}}), 2'060,
             60);
}

// Every person of the sets by what they have measured: those within the shop's domains can be. The nearest to a line is
// a woman of 19 with, by her own word, 167 cm and 30 kg (selfreport.csv, line 90).
TEST_CASE("nobody real is shut out: no more than one in a thousand may be, and is named here") {
  struct Set {
    const char* file;
    std::map<std::string, std::string> columns;
  };
  const std::vector<Set> sets = {
      {"children_fdgs.csv", {{"age", "age"}, {"height", "hgt"}, {"weight", "wgt"}, {"sex", "sex"}}},
      {"children_boys.csv", {{"age", "age"}, {"height", "hgt"}, {"weight", "wgt"}, {"head_girth", "hc"}}},
      {"adults_body.csv",
       {{"age", "Age"},
        {"height", "Height"},
        {"weight", "Weight"},
        {"chest", "ChestG"},
        {"waist", "AbdG"},
        {"sex", "Gender"}}},
      {"selfreport.csv", {{"age", "age"}, {"height", "hm"}, {"weight", "wm"}}},
      {"selfreport.csv", {{"age", "age"}, {"height", "hr"}, {"weight", "wr"}}},
      {"davis.csv", {{"height", "height"}, {"weight", "weight"}, {"sex", "sex"}}},
  };
  REQUIRE(shipped().policy().nobody.size() == 13);
  std::vector<std::string> shut_out;
  std::size_t people = 0;
  for (const auto& set : sets) {
    const auto rows = rows_of(set.file);
    if (!rows) return;
    for (const auto& person : people_of(set.file, *rows, set.columns)) {
      grammar::Diagnostics problems;
      runtime::PlayerReader reader(shipped().policy(), problems);
      for (const auto& [detail, number] : person.measured)
        reader.set(detail, number + (detail == "age" ? " years" : detail == "weight" ? " kg" : " cm"));
      if (!person.sex.empty()) reader.set("sex", person.sex);
      if (!problems.empty()) continue;
      ++people;
      if (!reader.take()) shut_out.push_back(person.from);
    }
  }
  fmt::print("people: {} within the shop's domains, {} of them shut out\n", people, shut_out.size());
  CHECK(people > 10'000);
  CHECK(shut_out.size() * 1'000 <= people);
  CHECK(shut_out == std::vector<std::string>{});
}

std::string refusal(const std::vector<std::pair<std::string, std::string>>& details) {
  grammar::Diagnostics problems;
  runtime::PlayerReader reader(shipped().policy(), problems);
  for (const auto& [detail, text] : details) reader.set(detail, text);
  return render(problems.sorted());
}

// Debian package r-cran-cardata 3.0.5, object Davis in carData/data/Rdata: 200 adults, no age; row 12 has height and
// weight swapped (Davis 1990, as Fox's "Applied Regression" tells).
TEST_CASE("Davis: the row whose height and weight are swapped is refused") {
  const auto rows = rows_of("davis.csv");
  if (!rows) return;
  REQUIRE(rows->size() == 200);
  const auto& swapped = rows->at(11);
  REQUIRE(swapped.at("weight") == "166");
  REQUIRE(swapped.at("height") == "57");
  CHECK(refusal({{"weight", swapped.at("weight") + " kg"}, {"height", swapped.at("height") + " cm"}}) ==
        "player-2: height is 57 cm, but the policy accepts 90 cm to 215 cm.\n"
        "  Try: measure again and check the unit; a fitter decides about players outside the range.\n");
  CHECK(refusal({{"weight", swapped.at("height") + " kg"}, {"height", swapped.at("weight") + " cm"}}) == "");
  const auto people = people_of("davis.csv", *rows, {{"height", "height"}, {"weight", "weight"}, {"sex", "sex"}});
  naive::Draw draw(1990);
  Counts counts;
  for (const auto& person : people) advise_one(person, Rest::drawn, draw, counts);
  fmt::print("people: davis.csv: 200 people, height, weight theirs, the rest drawn: {}\n", told(counts));
  CHECK(counts.outside == 1);
  CHECK(counts.advised == 199);
}

// Debian package pspp 1.6.2, file examples/physiology.sav: 40 adults, height in mm, dirty on purpose. Its numbers have
// up to 13 decimals, finer than any measure (and than a nanometre), so those that are kept are rounded to a tenth.
TEST_CASE("pspp's dirty rows are refused, and the others advised") {
  const auto rows = rows_of("physiology.csv");
  if (!rows) return;
  REQUIRE(rows->size() == 40);
  std::size_t short_ones = 0, negative = 0;
  naive::Draw draw(40);
  Counts counts;
  for (std::size_t i = 0; i < rows->size(); ++i) {
    const auto &height = rows->at(i).at("height"), &weight = rows->at(i).at("weight");
    if (height == "179") {
      ++short_ones;
      CHECK(refusal({{"height", height + " mm"},
                     {"weight", fmt::format("{:.1f} kg", std::strtod(weight.c_str(), nullptr))}}) ==
            "player-2: height is 179 mm, but the policy accepts 90 cm to 215 cm.\n"
            "  Try: measure again and check the unit; a fitter decides about players outside the range.\n");
    } else if (weight[0] == '-') {
      ++negative;
      CHECK(refusal({{"height", fmt::format("{:.1f} mm", std::strtod(height.c_str(), nullptr))},
                     {"weight", weight + " kg"}}) ==
            "player-5: weight is '-55.6 kg', which is neither a quantity nor a day the language reads.\n"
            "  Try: the policy accepts 12 kg to 180 kg.\n");
    } else {
      const Person person{fmt::format("physiology.csv, line {}", i + 2),
                          {{"height", fmt::format("{:.2f}", std::strtod(height.c_str(), nullptr) / 10)},
                           {"weight", fmt::format("{:.1f}", std::strtod(weight.c_str(), nullptr))}},
                          ""};
      advise_one(person, Rest::drawn, draw, counts);
    }
  }
  fmt::print(
      "people: physiology.csv: 40 people, height, weight theirs, the rest drawn: {}; {} too short, {} below nothing\n",
      told(counts), short_ones, negative);
  CHECK(short_ones == 1);
  CHECK(negative == 1);
  CHECK(counts.advised == 38);
}

}  // namespace
