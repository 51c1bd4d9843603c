// Spreadsheets of a small shop, read: all that comes of them in one text.
#pragma once

#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "tests/support/shop/small_shop.hpp"

namespace lacestay::tests {

// The policy the spreadsheets are read for.
inline const runtime::Engine& small() {
  static const auto engine = small_shop(R"(
ask head_girth 44 to 66 cm
ask hand choice left, right
piece helmet always
  mark choice iso_10256_2, csa_z262_1, astm_f1045
piece skates always
  tier grades entry, club, performance
  size 140 to 340 mm step 5 mm
piece stick always
  length 32 to 64 in step ½ in
  flex band 20 to 110 flex step 5 flex
  curve choice left, right
  toe choice round, square
piece tape optional
  rolls 1 to 9 step 1
rule usual_mark
  set helmet mark to iso_10256_2
rule usual_tier
  set skates tier to entry
rule usual_size
  set skates size to 265 mm
rule usual_length
  set stick length to 58 in
rule usual_flex
  set stick flex to 70 to 85 flex
rule usual_curve
  set stick curve to left
rule usual_toe
  set stick toe to round
rule usual_rolls
  set tape rolls to 2
rule some_tape
  suggest tape
protection is helmet
accept helmet with covers head_girth, mark as advised, certified until today, condition new
accept skates with size as advised, tier at least advised
accept stick with length at least advised, flex within advised once cut to length, curve as advised, toe as advised
accept tape with rolls at least advised
)");
  return *engine;
}

// One line an item, then each file's columns passed over and rows set aside, then what a person is told.
inline std::string read(const Files& files) {
  const auto& policy = small().policy();
  const auto stock = stock_of(policy, files);
  std::string out;
  for (const auto& item : stock.items) {
    const auto& piece = policy.pieces[item.piece];
    out += piece.name + " " + item.number + "|" + item.make + "|" + item.model + "|" + std::to_string(item.price) +
           "|" + std::to_string(item.on_hand);
    for (std::size_t i = 0; i < item.values.size(); ++i)
      out.append("|").append(runtime::write_value(policy.properties[piece.first_property + i].scale, item.values[i]));
    for (std::size_t i = 0; i < item.covers.size(); ++i)
      out.append("|").append(runtime::write_value(policy.scale_of(stock.covered[item.piece][i]), item.covers[i]));
    if (item.certified_until) out += "|until " + compiler::show(*item.certified_until, compiler::Dimension::day, {});
    if (item.used) out += "|used";
    out += "\n";
  }
  for (const auto& file : stock.files) {
    for (const auto& column : file.passed_over) out += file.name + " passes over " + column + "\n";
    if (file.set_aside > 0)
      out += file.name + ": " + std::to_string(file.set_aside) + " of " + std::to_string(file.rows) + " set aside\n";
  }
  return out + render(stock.problems.sorted());
}

inline const std::string skates_head = "item,make,model,price,on hand,tier,size (mm)\n";
inline const std::string helmet_head = "item,make,model,price,on hand,mark,head girth,certified until,condition\n";
inline const std::string stick_head = "item,make,model,price,on hand,length (in),flex,curve,toe\n";

// A file and what is read of it.
struct Row {
  const char* shows;
  const char* file;
  std::string text, expected;
};

inline void check(const std::vector<Row>& rows) {
  for (const auto& row : rows) {
    INFO(row.shows << "\n" << row.text);
    CHECK(read({{row.file, row.text}}) == row.expected);
  }
}

}  // namespace lacestay::tests
