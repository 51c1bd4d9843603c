// The error message of each commit point of the grammar, keyed by rule.
//
// `wanted<Rule>` has no general definition: a `must` in rules.hpp whose rule has no message here does not compile.
#pragma once

#include <string_view>

#include "grammar/read/rules.hpp"

namespace lacestay::grammar {

struct Wanted {
  const char* code;
  const char* message;  // what is expected at the marked place
  const char* hint;     // what to try
};

template <typename Rule>
inline constexpr Wanted wanted = [] {
  static_assert(sizeof(Rule) == 0, "a commit point of the grammar has no message: add it to messages.hpp");
  return Wanted{};
}();

// PEGTL asks for a message for every rule under `if_must`; these can't fail, so theirs is never shown.
template <typename... Rules>
inline constexpr Wanted wanted<rules::opt<Rules...>>{};
template <typename... Rules>
inline constexpr Wanted wanted<rules::star<Rules...>>{};

#define WANTED(rule, code, message, hint)       \
  template <>                                   \
  inline constexpr Wanted wanted<rules::rule> { \
    code, message, hint                         \
  }

// ---- texts, names
WANTED(text_body, "reading-1", "A text in quotes should stand here.", "put the text between double quotes");
WANTED(closing_quote, "reading-1", "This text has no closing quote on its line.",
       "close the text with a double quote before the line ends");
WANTED(line::title, "reading-1", "The title should stand here, in quotes.",
       "write it as in: policy \"Rink shop, starter kit\"");
WANTED(line::other_file, "reading-1", "The other file's name should stand here, in quotes.",
       "write it as in: \"house_rules/junior.fitting\"");
WANTED(line::reason, "reading-1", "The reason should stand here, in quotes.",
       "write it as in: because \"A soft boot folds\"");
WANTED(line::where_from, "reading-1", "The source should stand here, in quotes.",
       "write it as in: source \"common practice\"");
WANTED(line::caution_text, "reading-1", "The caution should stand here, in quotes.",
       "write it as in: caution \"Replace it after a heavy blow\"");
WANTED(line::name, "reading-2", "A name should stand here.",
       "use letters, digits and _, beginning with a letter; a word of the language can't be a name");
WANTED(line::money_code, "reading-2", "The currency's code should stand here.", "write it as in: money GBP");
WANTED(line::end, "reading-3", "The line should end here; what follows is not understood.",
       "look for a missing comma, colon, unit or sign before it; or take it out, or put it on a line of its own");

// ---- what opens an item, and what stands under it
WANTED(
    line::known_item, "reading-4", "This line opens nothing the language knows.",
    "begin it with policy, part, pack, edition, money, along with, relies on, ask, work out, piece, group, chart, "
    "rule, make sure, nobody has, protection is, accept, worth, deal, round percentages, over the limit, players of or "
    "player, or with a piece and goes with; or indent it, if it belongs to the item above");
WANTED(line::rule_content, "reading-5",
       "Under a rule stands what it does, or for, because, source, outranks or safety.",
       "what a rule does is one of set, size, keep, floor, cap, need, suggest, omit, refer, caution, or a step such as "
       "one step up in gloves size");
WANTED(line::chart_content, "reading-5",
       "Under a chart stand across, down, rows, or for, because, source, outranks and safety.",
       "write a row as in: under 40 kg:  30 to 40 flex");
WANTED(line::player_content, "reading-5",
       "Under a player stand details, owns, can spend, leaves with and leaves without.",
       "write details as in: age 9 years, weight 30 kg");
WANTED(
    line::property_domain, "reading-6", "What this property can be should stand here.",
    "write grades a, b, c; or choice a, b; or 140 to 340 mm step 5 mm; or one of 46, 48, 52 in; or band 20 to 110 flex "
    "step 5 flex");
WANTED(line::ask_domain, "reading-6", "What this detail can be should stand here.",
       "write 12 to 180 kg; or 4 to 90 years, whole; or grades a, b, c; or choice a, b");
WANTED(members, "reading-6", "The members should stand here, with commas between them.",
       "write them as in: grades new, improving, league");
WANTED(member_words, "reading-1", "The words it is shown as should stand here, in quotes.",
       "write them as in: grades small, x_large shown as \"XL\"");
WANTED(line::presence, "reading-7", "Who gets this piece should stand here.",
       "write always, optional, or a condition such as: for role goalkeeper");

// ---- item lines
WANTED(line::edition_number, "reading-8", "The edition's number should stand here.",
       "write it as in: edition 4, in force from 1 September 2026");
WANTED(line::in_force, "reading-8", "After its number and a comma, an edition says from when it is in force.",
       "write it as in: edition 4, in force from 1 September 2026");
WANTED(line::in_force_from, "reading-9", "A day should stand here.", "write it as in: 1 September 2026, or 2026-09-01");
WANTED(line::in_force_to, "reading-9", "A day should stand here.", "write it as in: 31 August 2027, or 2027-08-31");
WANTED(line::relied_on, "reading-2", "The detail the pack relies on should stand here.",
       "write it as in: relies on age in whole years");
WANTED(line::relied_unit, "reading-10", "A unit should stand here.", "write it as in: relies on age in whole years");
WANTED(line::precision, "reading-10", "How well it is measured should stand here, with its unit.",
       "write it as in: give or take 1 kg");
WANTED(shown_unit, "reading-10", "A unit should stand here.",
       "write one of mm, cm, m, in, ft, g, kg, oz, lb, st, years, months, flex, % or a currency's code");
WANTED(line::formula_equals, "reading-11", "An = should stand here.",
       "write it as in: work out boot_length = foot_length + 5 mm");
WANTED(line::formula, "reading-12", "A formula should stand here.", "write it as in: foot_length + 5 mm");
WANTED(line::gives_key, "reading-13", "What the chart gives should stand here.",
       "write it as in: chart flex_chart gives stick flex");
WANTED(line::given, "reading-13", "What the chart gives should stand here.",
       "name a piece and its property, or the detail it works out");
WANTED(line::graded_as, "reading-13", "A detail should stand here, whose grades the chart gives.",
       "write it as in: chart counted gives counted_skill graded as skill");
WANTED(line::sure_subject, "reading-14", "A piece, or a piece and its property, should stand here.",
       "write it as in: make sure neck_guard is needed for age under 18");
WANTED(line::sure_claim, "reading-14", "What must hold should stand here.",
       "write is needed, is left out, is at least …, is at most …, is within … to …, is … or …, never falls as … "
       "rises, or never rises as … rises");
WANTED(line::sure_member, "reading-14", "A member should stand here.",
       "write them as in: make sure stick toe is round or square");
WANTED(line::sure_bound, "reading-14", "The value it is held to should stand here.",
       "write it as in: is at least 40 flex");
WANTED(line::sure_interval, "reading-14", "The two ends should stand here.",
       "write them as in: is within 40 to 90 flex");
WANTED(line::sure_as, "reading-14", "The word as, and what rises, should stand here.",
       "write it as in: never falls as weight rises");
WANTED(line::sure_detail, "reading-14", "The detail that rises should stand here.",
       "write it as in: never falls as weight rises");
WANTED(line::sure_rises, "reading-14", "The word rises should stand here.",
       "write it as in: never falls as weight rises");

// ---- players that cannot be
WANTED(line::nobody_has, "reading-35", "The word has should stand here, and then what nobody has together.",
       "write it as in: nobody has age under 4, weight over 40 kg \"Ask again.\"");
WANTED(line::nobody_first, "reading-35", "What nobody has together should stand here, as conditions.",
       "write it as in: nobody has age under 4, weight over 40 kg \"Ask again.\"");
WANTED(line::nobody_next, "reading-35", "After the comma another condition should stand.",
       "write it as in: nobody has age under 4, weight over 40 kg \"Ask again.\"; or leave the comma out");
WANTED(line::nobody_sentence, "reading-35", "What the fitter is told of such a player should stand here, in quotes.",
       "write it as in: nobody has age under 4, weight over 40 kg \"Ask again.\"");

// ---- properties
WANTED(line::band_range, "reading-15", "The band's range should stand here.",
       "write it as in: band 20 to 110 flex step 5 flex");
WANTED(line::step_key, "reading-15", "The word step and a step should stand here.",
       "write it as in: 140 to 340 mm step 5 mm");
WANTED(line::step, "reading-15", "The step should stand here, with its unit.", "write it as in: step 5 mm");
WANTED(line::property_size, "reading-15", "A size should stand here.", "write them as in: one of 46, 48, 50, 54 in");

// ---- conditions
WANTED(first_condition, "reading-16", "A condition should stand here.",
       "write it as in: for weight over 115 kg, skill new");
WANTED(next_condition, "reading-16", "After the comma another condition should stand.",
       "write it as in: for weight over 115 kg, skill new; or leave the comma out");
WANTED(compared_with, "reading-17", "What it is compared with should stand here.",
       "write a number with its unit, a day, or a grade");
WANTED(range_last, "reading-17", "The last value of the range should stand here.",
       "write it as in: for sessions 2 to 4, category u8 to u12");

// ---- formulas
WANTED(inner_expression, "reading-12", "A formula should stand inside the brackets.",
       "write it as in: (foot_length + 5 mm) * 2");
WANTED(closing_bracket, "reading-12", "A closing bracket ) should stand here.", "close each bracket that was opened");
WANTED(left_operand, "reading-12", "The first of the two should stand here.",
       "write it as in: the larger of foot_length and other_foot");
WANTED(and_key, "reading-12", "The word and should stand here.",
       "write it as in: the larger of foot_length and other_foot");
WANTED(right_operand, "reading-12", "The second of the two should stand here.",
       "write it as in: the larger of foot_length and other_foot");
WANTED(first_day, "reading-12", "The first day should stand here.",
       "write it as in: whole years from birth_day to 31 December 2026");
WANTED(to_key, "reading-12", "The word to should stand here.",
       "write it as in: whole years from birth_day to 31 December 2026");
WANTED(last_day, "reading-12", "The last day should stand here.",
       "write it as in: whole years from birth_day to 31 December 2026");
WANTED(factor, "reading-12", "After * or / something should stand here.",
       "write a number with its unit, a detail's name, or brackets");
WANTED(term, "reading-12", "After + or - something should stand here.",
       "write a number with its unit, a detail's name, or brackets");
WANTED(rounding_step, "reading-12", "What it is rounded to should stand here.", "write it as in: rounded up to 5 mm");

// ---- under a rule
WANTED(line::target, "reading-18", "A piece, or a piece and its property, should stand here.",
       "name it as the policy declares it, such as neck_guard or stick flex");
WANTED(line::set_to, "reading-19", "The word to and an answer should stand here.",
       "write it as in: set stick toe to round");
WANTED(line::at_key, "reading-19", "The word at and an answer should stand here.",
       "write it as in: floor skates tier at performance");
WANTED(line::within_key, "reading-19", "The word within and two ends should stand here.",
       "write it as in: keep stick flex within 20 to 60 flex");
WANTED(line::from_key, "reading-19", "The word from and a detail should stand here.",
       "write it as in: size skates size from boot_length");
WANTED(line::size_detail, "reading-19", "A detail should stand here.",
       "write it as in: size skates size from boot_length");
WANTED(line::past_ends, "reading-19", "After never stands under or over, and a size.",
       "write it as in: never under 8 in or over 17 in");
WANTED(line::never_over, "reading-19", "The word over and the largest size should stand here.",
       "write it as in: never under 8 in or over 17 in");
WANTED(line::smallest, "reading-19", "The smallest size should stand here.",
       "write it as in: never under 8 in or over 17 in");
WANTED(line::largest, "reading-19", "The largest size should stand here.",
       "write it as in: never under 8 in or over 17 in");
WANTED(line::answer, "reading-19", "An answer should stand here.",
       "write one of the property's own values, such as round or 40 to 60 flex");
WANTED(line::answer_within, "reading-19", "Two ends, or some of a choice, should stand here.",
       "write them as in: within 20 to 60 flex; or: within round or square");
WANTED(another_choice, "reading-19", "Another one of the choice should stand here.",
       "write it as in: set stick toe to round or square");
WANTED(one_amount, "reading-19", "Only several of a choice are joined by or.",
       "write one answer, or the two ends of a band; what else may be handed over is said in the accept line, as in: "
       "size at least advised");
WANTED(line::or_between, "reading-19", "Between several of a choice stands or, each time.",
       "write it as in: set stick toe to round or square or open");
WANTED(line::or_with, "reading-19", "Another one of the choice should stand here.",
       "write it as in: leaves with stick toe round or square");
WANTED(line::outranked, "reading-20", "The name of a rule or chart should stand here.",
       "write it as in: outranks usual_toe");

// ---- under a chart
WANTED(line::across_detail, "reading-21", "The detail that runs across should stand here.",
       "write it as in: across weight  under 60 kg, the rest");
WANTED(line::down_detail, "reading-21", "The detail that runs down should stand here.", "write it as in: down skill");
WANTED(line::across_head, "reading-22", "The head of a column should stand here.",
       "write under 60 kg, at most 60 kg, before a day, the rest, or members joined with or");
WANTED(line::row_head, "reading-22", "The head of a row should stand here.",
       "write under 60 kg, at most 60 kg, before a day, the rest, or members");
WANTED(line::row_colon, "reading-22", "After the head of a row a : should stand.",
       "write it as in: under 40 kg:  30 to 40 flex");
WANTED(line::edge, "reading-22", "The edge should stand here.", "write a number with its unit, such as under 40 kg");
WANTED(line::row_cell, "reading-23", "An answer should stand here.",
       "give each column of the row an answer, with commas between them");

// ---- in a chart's spreadsheet
WANTED(line::sheet_file, "reading-13", "The spreadsheet's file should stand here, in quotes.",
       "write it as in: from \"flex.csv\"");
WANTED(line::cell_end, "reading-36", "The cell should end here; what follows is not understood.",
       "look for a missing unit before it, or take it out");
WANTED(line::sheet_across_detail, "reading-21", "The detail that runs across should stand here.",
       "write it as in: across weight");
WANTED(line::column_head, "reading-22", "The head of a column should stand here.",
       "write under 60 kg, at most 60 kg, before a day, the rest, or members joined with or");
WANTED(line::sheet_answer, "reading-23", "An answer should stand here.",
       "give each column of the row an answer, in its own cell");

// ---- from stock
WANTED(line::is_key, "reading-18", "The word is, and the pieces of the group, should stand here.",
       "write it as in: group padding is body_pads, gloves, shin_guards");
WANTED(line::grouped, "reading-18", "A piece should stand here.",
       "write it as in: group padding is body_pads, gloves, shin_guards");
WANTED(line::protective, "reading-29", "A piece should stand here.",
       "write it as in: protection is helmet, neck_guard");
WANTED(line::partner, "reading-29", "The piece that it goes with should stand here.",
       "write it as in: face_protection goes with helmet");
WANTED(line::accepted, "reading-29", "The piece should stand here.",
       "write it as in: accept helmet with size as advised");
WANTED(line::accepted_with, "reading-29", "The word with should stand here, and what must be so of an item.",
       "write it as in: accept helmet with size as advised, condition new");
WANTED(line::next_requirement, "reading-29", "What must be so of an item should stand here.",
       "write a property and as advised, at least advised, at most advised or within advised; or covers and a detail; "
       "or certified until today; or condition new; or price at most 80 GBP; or made at most 4 years before today");
WANTED(line::advised, "reading-29", "The word advised should stand here.",
       "an item is held to the advice, as in: tier at least advised");
WANTED(line::cut_length, "reading-29", "The length it is cut to should stand here.",
       "write it as in: flex within advised once cut to length");
WANTED(line::price_relation, "reading-29", "How its price is bounded should stand here.",
       "write it as in: price at most 80 GBP");
WANTED(line::price_sum, "reading-29", "A sum should stand here.", "write it as in: price at most 80 GBP");
WANTED(line::if_goods, "reading-29", "Of which goods it is asked should stand here.",
       "write if used or if new, as in: price at most 40 GBP if used");
WANTED(line::made_at_most, "reading-29", "How long ago it was made at most should stand here.",
       "write it as in: made at most 4 years before today");
WANTED(line::made_years, "reading-29", "How many years should stand here.",
       "write it as in: made at most 4 years before today");
WANTED(line::before_today, "reading-29", "The words before today should stand here.",
       "write it as in: made at most 4 years before today");
WANTED(line::covered, "reading-29", "A detail should stand here.", "write it as in: covers head_girth");
WANTED(line::accept_content, "reading-30", "Under what is accepted stands if none in stock.",
       "write it as in: if none in stock, one step up in size");
WANTED(line::none_comma, "reading-30", "A comma and what is done instead should stand here.",
       "write it as in: if none in stock, one step up in size");
WANTED(line::instead, "reading-30", "What is done instead should stand here.",
       "write one step up in size, any grip, refer, or order");
WANTED(line::in_key, "reading-19", "The word in and a property should stand here.",
       "write it as in: one step up in gloves size");
WANTED(line::moved, "reading-19", "A property should stand here.", "write it as in: one step up in gloves size");
WANTED(line::let_go, "reading-30", "A property should stand here.", "write it as in: if none in stock, any grip");
WANTED(line::worthy, "reading-31", "A piece and its property should stand here.",
       "write it as in: worth skates tier 35 GBP a step");
WANTED(line::worth_amount, "reading-31", "What a step is worth should stand here.",
       "write it as in: worth skates tier 35 GBP a step");
WANTED(line::worth_step, "reading-31", "The words a step should stand here.",
       "write it as in: worth skates tier 35 GBP a step");
WANTED(line::deal_content, "reading-32", "Under a deal stand for, what it gives, adds to and because.",
       "write them as in: for 5 or more of one make, and below it: 10% off");
WANTED(
    line::deal_lines, "reading-32", "What the deal is for should stand here.",
    "write for 5 or more of one make; or for helmet with face_protection; or for the whole kit of one make; whom it is "
    "for stands at the end of the line that begins with deal");
WANTED(line::or_more, "reading-32", "The words or more should stand here.",
       "write it as in: for 5 or more of one make");
WANTED(line::make_name, "reading-32", "One make, or a make's name in quotes, should stand here.",
       "write of one make; or write the name in quotes");
WANTED(line::deal_piece, "reading-32", "A piece should stand here.", "write it as in: for helmet with face_protection");
WANTED(line::tag_sum, "reading-32", "A sum should stand here.",
       "write it as in: for gloves over 90 GBP with mouthguard");
WANTED(line::off_piece, "reading-32", "A piece should stand here.", "write it as in: 100% off mouthguard");
WANTED(line::other_deal, "reading-32", "Another deal's name should stand here.", "write it as in: adds to head_to_toe");
WANTED(line::rounded_where, "reading-33", "Where percentages are rounded should stand here.",
       "write round percentages on each line, or round percentages on the bill");
WANTED(
    line::plan_content, "reading-34", "Under over the limit stands what else may be done for a piece.",
    "write hire skates, borrow stick, buy used padded_pants, put off kit_bag, or settle for one step down in kit_bag "
    "litres");
WANTED(line::settled_for, "reading-34", "What is settled for should stand here.",
       "write it as in: settle for one step down in kit_bag litres; or settle for any kit_bag colour; or, for used "
       "goods, on a line of its own: buy used kit_bag for 15 GBP");
WANTED(line::plan_piece, "reading-34", "A piece should stand here.", "write it as in: hire skates for 45 GBP");
WANTED(line::plan_cost, "reading-34", "What it costs should stand here.", "write it as in: hire skates for 45 GBP");

// ---- under a player
WANTED(line::next_reading, "reading-24", "After the comma another detail should stand.",
       "write it as in: age 9 years, weight 30 kg; or leave the comma out");
WANTED(line::owned, "reading-24", "A piece should stand here.", "write it as in: owns helmet, skates");
WANTED(
    line::leaves_claim, "reading-25", "What the player leaves with should stand here.",
    "write a piece, a property with its answer, refer and a property, caution and its words, item and its number, or "
    "total and a sum");
WANTED(line::left_with, "reading-25", "A piece or a property should stand here.",
       "name it as the policy declares it, such as neck_guard");
WANTED(line::item_number, "reading-1", "The item's number should stand here, in quotes.",
       "write it as in: leaves with item \"SK-104\"");
WANTED(line::total_sum, "reading-25", "A sum should stand here.", "write it as in: leaves with total at most 450 GBP");
WANTED(line::spent, "reading-24", "A sum should stand here.", "write it as in: can spend 450 GBP");
WANTED(line::left_without, "reading-25", "A piece should stand here, or caution and its words.",
       "name the piece as the policy declares it, such as neck_guard");

#undef WANTED

// ---- told better

// More specific messages, for text at the marked place that shows what was meant. `begins` is the beginning of that
// text: a whole word, or signs; "9" stands for any digit. Without a message here the general one is used.
struct ToldBetter {
  std::string_view code;
  std::string_view begins;
  const char* message;
  const char* hint;
};

inline constexpr const char* bare_condition = "conditions begin with for, as in: for age under 18";
inline constexpr const char* runs_from_above =
    "write where the entry ends, as in: under 60 kg; it begins where the one before it ends, and the last one is the "
    "rest";
inline constexpr const char* in_words = "write it in words, as in: age under 18, weight at least 60 kg, skill new";
inline constexpr const char* only_work_out =
    "What is worked out stands in a line that begins with work out, and there what is rounded stands in brackets.";
inline constexpr const char* round_in_brackets =
    "write it as in: (height rounded up to 1 cm) + 1 cm; a remark goes behind #";
inline constexpr const char* no_text = "A text in quotes has no place here.";
inline constexpr const char* behind_hash = "take it out; a remark goes behind #";
inline constexpr const char* after_number = "write the currency's code after the number, as in: 45 GBP";

inline constexpr const char* in_inches = "write inches as in: 12 to 15 in; quotes are for texts";

inline constexpr const char* no_bills = "A deal looks at pieces and their prices, never at the sum of the bill.";
inline constexpr const char* kit_deals =
    "leave the deal out; or, if a piece's own tag is meant, write it as in: for gloves over 90 GBP with mouthguard";

inline constexpr ToldBetter told_better[] = {
    {"reading-3", ",", "Nothing that belongs here follows this comma.",
     "take the comma out, or put what follows on a line of its own"},
    {"reading-3", ")", "This bracket closes none.", "take it out, or open one with ( before it"},
    {"reading-3", "(", nullptr, behind_hash},
    {"reading-3", "\"", no_text, behind_hash},
    {"reading-3", "“", no_text, behind_hash},
    {"reading-3", "”", no_text, behind_hash},
    {"reading-3", "and", nullptr,
     "write a comma where and stands; or, for two units, write it as in: shown in st and lb"},
    {"reading-3", "or", "Here or joins nothing: it stands only between members of one detail.",
     "write a rule for each of the two"},
    {"reading-3", "is", nullptr, "take the word is out, as in: for age under 18"},
    {"reading-3", "if", nullptr, bare_condition},
    {"reading-3", "when", nullptr, bare_condition},
    {"reading-3", "whole", nullptr, "write a comma before whole"},
    {"reading-3", "rounded", nullptr, "write rounded up to 5 mm, rounded down to 5 mm, or rounded to the nearest 5 mm"},
    {"reading-3", "<", nullptr, in_words},
    {"reading-3", ">", nullptr, in_words},
    {"reading-3", "=", nullptr, in_words},
    {"reading-3", "≤", nullptr, in_words},
    {"reading-3", "≥", nullptr, in_words},
    {"reading-3", "+", only_work_out, round_in_brackets},
    {"reading-3", "-", only_work_out, round_in_brackets},
    {"reading-3", "–", only_work_out, round_in_brackets},
    {"reading-3", "—", only_work_out, round_in_brackets},
    {"reading-3", "−", only_work_out, round_in_brackets},
    {"reading-3", "*", only_work_out, round_in_brackets},
    {"reading-3", "/", only_work_out, round_in_brackets},
    {"reading-3", "×", only_work_out, round_in_brackets},
    {"reading-3", "÷", only_work_out, round_in_brackets},
    {"reading-3", "^", nullptr, "write the factors out, as in: (height / 1 m) * (height / 1 m)"},
    {"reading-3", "€", nullptr, after_number},
    {"reading-3", "£", nullptr, after_number},
    {"reading-3", "$", nullptr, after_number},
    {"reading-3", ":", nullptr, "take the colon out"},
    {"reading-3", ".", nullptr, "take the full stop out"},
    {"reading-3", ";", nullptr, "write a comma, or put what follows on a line of its own"},
    {"reading-32", "over", no_bills, kit_deals},
    {"reading-32", "at", no_bills, kit_deals},
    {"reading-36", ";", "Commas part the cells of this file, as its first row does, and here stands a ; instead.",
     "part all cells with commas, or all of them with semicolons"},
    {"reading-36", ",", "One cell holds one answer, or one entry.",
     "in a number, write a point; or give what follows the comma a cell of its own"},
    {"reading-36", "\"", nullptr, "write inches as in: 12 in"},
    {"reading-36", "”", nullptr, "write inches as in: 12 in"},
    {"reading-5", "if", nullptr, bare_condition},
    {"reading-5", "when", nullptr, bare_condition},
    {"reading-6", "\"", nullptr, in_inches},
    {"reading-6", "“", nullptr, in_inches},
    {"reading-6", "”", nullptr, in_inches},
    {"reading-12", "the", nullptr, "write the larger of A and B, or the smaller of A and B"},
    {"reading-12", "-", "Nothing stands before the minus.", "take it from something, as in: 0 kg - weight"},
    {"reading-12", "–", "Nothing stands before the minus.", "take it from something, as in: 0 kg - weight"},
    {"reading-12", "−", "Nothing stands before the minus.", "take it from something, as in: 0 kg - weight"},
    {"reading-22", "9", nullptr, runs_from_above},
    {"reading-22", "over", nullptr, runs_from_above},
    {"reading-22", "at", nullptr, runs_from_above},
    {"reading-22", "since", nullptr, runs_from_above},
    {"reading-22", "from", nullptr, runs_from_above},
};

}  // namespace lacestay::grammar
