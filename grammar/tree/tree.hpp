// The syntax tree of a policy or a players file, item by item, before names are resolved.
//
// Every part keeps the span it was read from, and a file keeps its comments in order, so that a tool that rewrites
// layout loses nothing: spans and comments together cover every byte that is not blank. Words are folded to lower case;
// numbers are exact fractions. Only the syntax has been checked: names, units and ranges are the compiler's to check.
// Plain data; File::source keeps the text that all spans point into.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "grammar/text/source.hpp"
#include "grammar/tree/units.hpp"

namespace lacestay::grammar {

struct Word {
  std::string text;
  Span span;
};

// Words that name something together: `neck guard`, `stick.flex`, `skill league`. The compiler resolves what they name.
struct Phrase {
  std::vector<Word> words;
  Span span;

  // The words joined with '_': `neck guard` and `neck_guard` give the same.
  [[nodiscard]] std::string joined() const;
  // As it stands in the text, with one blank where there are several, or a line's end.
  [[nodiscard]] std::string as_written() const;
};

// A text in quotes, without them.
struct Text {
  std::string text;
  Span span;
};

// One number with its unit, or without. The fraction is as written, not reduced; denominator > 0.
struct Amount {
  std::int64_t numerator = 0;
  std::int64_t denominator = 1;
  bool in_fractions = false;  // written `12½` or `3/16`, not with a point
  std::optional<Unit> unit;
  std::string currency;  // upper case, when the unit is a currency's code
  Span span;

  [[nodiscard]] bool bare() const { return !unit && currency.empty(); }
};

// `14 st 6 lb` has two parts, `30 kg` one.
struct Quantity {
  std::vector<Amount> parts;
  Span span;
};

struct Date {
  int year = 0;
  int month = 0;
  int day = 0;
  Span span;
};

using Value = std::variant<Quantity, Date, Phrase>;
[[nodiscard]] const Span& span_of(const Value& value);

// `20 to 30 flex`: where only the second carries a unit, the first has been given it.
struct Interval {
  Value from, to;
  Span span;
};

enum class Relation { is, under, at_least, over, at_most, before, since, from_to };

// `weight under 60 kg`; `skill league, elite` (relation is, one phrase per alternative; the first phrase holds the
// detail's name and the first member together).
struct Condition {
  Phrase subject;
  Relation relation = Relation::is;
  std::optional<Value> value;        // for every relation but `is`; the last one of `from_to`
  std::optional<Value> first;        // for `from_to`: a number or a day; the first grade stands in the subject
  std::vector<Phrase> alternatives;  // for `is`: the members after the first
  Span span;
};

struct Expression {
  enum class Kind {
    quantity,
    date,
    name,  // no operands
    add,
    subtract,
    multiply,
    divide,  // two
    larger,
    smaller,
    whole_years,  // two
    round_up,
    round_down,
    round_nearest  // one, with the step in `quantity`
  };
  Kind kind = Kind::quantity;
  Quantity quantity;
  Date date;
  Phrase name;
  std::vector<Expression> operands;
  Span span;
};

// A word of grades or of a choice: its name, and the words people are shown for it.
struct Member : Word {
  std::optional<Text> shown_as;
};

// What a property or a detail can be.
struct Domain {
  enum class Kind { amount, grades, choice };
  Kind kind = Kind::amount;
  std::optional<Interval> interval;  // amount; absent where `sizes` says each
  bool band = false;                 // amount, of a property
  bool whole = false;                // amount, of a detail
  std::optional<Quantity> step;      // amount, of a property
  std::vector<Member> members;       // grades, choice
  std::vector<Quantity> sizes;       // amount, of a property: each of them, where they rise unevenly; all with units
  std::vector<Word> shown_in;        // unit words, as written
  Span span;
};

struct Heading {  // policy, part, pack
  enum class Kind { policy, part, pack };
  Kind kind = Kind::policy;
  Text title;
};

struct Edition {
  Quantity number;
  Date from;
  std::optional<Date> to;
};

struct Money {
  Word code;
};

struct AlongWith {
  Text file;
  std::vector<Condition> when;
};

struct ReliesOn {
  Phrase detail;
  std::optional<Word> unit;  // `in whole years`, `in kg`
  bool whole = false;
};

struct Ask {
  Word name;
  Domain domain;
  std::optional<Text> question;
  bool may_change = false;
  bool may_be_blank = false;
  std::optional<Quantity> give_or_take;
};

struct WorkOut {
  Word name;
  Expression formula;
};

struct Property {
  Word name;
  Domain domain;
  std::optional<Text> label;
  Span span;
};

struct Piece {
  enum class Presence { always, optional, conditional };
  Word name;
  Presence presence = Presence::always;
  std::vector<Condition> when;
  std::optional<Text> label;
  std::vector<Property> properties;
};

// `group padding is body_pads, gloves, shin_guards`.
struct PieceGroup {
  Word name;
  std::vector<Phrase> pieces;
};

// What a chart and a rule can both carry.
struct Clauses {
  std::vector<Condition> when;
  std::optional<Text> because;
  std::optional<Text> source;
  std::vector<Phrase> outranks;
  std::optional<Span> safety;
};

// One entry of an axis.
struct Head {
  enum class Kind { under, at_most, before, rest, members };
  Kind kind = Kind::members;
  std::optional<Value> edge;
  std::vector<Phrase> members;
  Span span;
};

// Of a choice that is left open: `round or square`; no members for `any of them`.
struct LeftOpen {
  std::vector<Phrase> members;
  Span span;
};

using Cell = std::variant<Value, Interval, LeftOpen>;
[[nodiscard]] const Span& span_of(const Cell& cell);
// The cell with its bare numbers in the unit of that amount.
[[nodiscard]] Cell in_unit_of(Cell cell, const Amount& other);

struct Row {
  Head head;
  std::vector<Cell> cells;
  Span span;
};

struct Across {
  Phrase detail;
  std::vector<Head> heads;
  Span span;
};

struct Chart {
  Word name;
  Phrase gives;
  std::optional<Phrase> graded_as;  // the detail one of whose members it works out
  std::optional<Across> across;
  std::optional<Phrase> down;
  std::vector<Row> rows;  // with `across` alone: one row without a head (Head::Kind::rest, empty span)
  Clauses clauses;
  std::optional<Text> sheet;  // the file of the spreadsheet that axes and rows stand in, if they do (sheet.hpp)
};

// `two steps down in stick length`.
struct Steps {
  Phrase property;
  int count = 0;  // up is positive
};

struct Action {
  enum class Kind { set, size, keep, floor, cap, step, need, suggest, omit, refer, caution };
  Kind kind = Kind::set;
  std::vector<Phrase> targets;                   // one, or several for need, suggest, omit and refer; none for caution
  std::optional<Cell> answer;                    // set, keep, floor, cap
  std::optional<Phrase> from, to;                // size; `to` of a band's other end
  std::optional<Value> never_under, never_over;  // size
  int steps = 0;                                 // step; up is positive
  std::optional<Text> text;                      // caution
  Span span;
};

struct Rule {
  Word name;
  std::optional<Action> action;
  Clauses clauses;
};

struct MakeSure {
  enum class Kind { needed, left_out, at_least, at_most, within, never_falls, never_rises, one_of };
  Kind kind = Kind::needed;
  std::optional<Span> advice;  // `the advice of`: nothing is said of items
  Phrase subject;
  std::optional<Cell> bound;     // at_least, at_most, within
  std::vector<Word> members;     // one_of
  std::optional<Phrase> detail;  // never_falls, never_rises
  std::vector<Condition> when;
};

// `nobody has age under 15, category adult "Ask again."`: players that cannot be.
struct Nobody {
  std::vector<Condition> has;
  Text sentence;
};

struct Protection {
  std::vector<Phrase> pieces;
};

// Of the two pieces only items that fit each other are handed over together.
struct GoesWith {
  Phrase piece, partner;
};

// What must be so of an item for a piece: `size as advised`, `covers head_girth`, `condition new`.
struct Requirement {
  enum class Kind { as_advised, at_least, at_most, within, covers, in_date, is, new_or_used, price, made };
  Kind kind = Kind::as_advised;
  Phrase column;                          // covers: a detail; is: a property or column, and its member; else none
  std::optional<Phrase> once_cut_to;      // within
  Relation relation = Relation::at_most;  // price: under, at_least, over or at_most
  std::optional<Quantity> amount;         // price; made: how long ago at most
  enum class Goods { all, only_new, only_used };
  Goods goods = Goods::all;  // price, made: of which goods it is asked
  Span span;
};

// `if none in stock, one step up in size`.
struct Instead {
  enum class Kind { step, any, refer, order };
  Kind kind = Kind::order;
  std::optional<Phrase> column;  // step, any
  int steps = 0;                 // up is positive
  std::optional<Text> note;      // told with an item that is found there
  Span span;
};

struct Accept {
  Phrase piece;
  std::vector<Requirement> requirements;
  std::vector<Condition> when;
  std::vector<Instead> instead;
};

struct Worth {
  Phrase property;
  Quantity amount;  // for each step
  std::vector<Condition> when;
};

struct Deal {
  struct Piece {
    Phrase name;
    Relation relation = Relation::at_most;  // under, at_least, over or at_most
    std::optional<Quantity> tag;            // absent: whatever its price
  };
  struct Lines {
    std::optional<Quantity> count;  // absent: one of each piece
    bool whole_kit = false;         // every piece on the bill
    std::vector<Piece> pieces;      // empty: any
    bool one_make = false;
    std::optional<Text> make;
    Span span;
  };
  struct Gives {
    Quantity amount;
    bool together = false;       // else off
    std::vector<Phrase> pieces;  // off these alone; empty: off each
    Span span;
  };
  Word name;
  std::optional<Text> label;
  std::vector<Condition> when;
  std::optional<Lines> lines;
  std::optional<Gives> gives;
  std::vector<Phrase> adds_to;
  std::optional<Text> because;
};

struct RoundPercentages {
  bool bill = false;  // else each line
};

struct PlanStep {
  enum class Kind { hire, borrow, buy_used, put_off, settle };
  Kind kind = Kind::hire;
  Phrase piece;  // of settle none: its property names it
  std::optional<Quantity> cost;
  std::optional<Instead> other;  // settle: a step or any
  std::vector<Condition> when;
  Span span;
};

struct OverTheLimit {
  std::vector<PlanStep> steps;  // in the order they are taken
};

struct PlayersOf {
  Text policy;
};

// `age 9 years`, `skill new` (one phrase, no value), `size "XL"`, `foot_length blank`.
struct Reading {
  Phrase phrase;
  std::optional<Value> value;
  std::optional<Text> words;
  bool blank = false;
  Span span;
};

struct LeavesWith {
  enum class Kind { has, without, refer, caution, no_caution, next, item, no_item, total, total_at_most };
  Kind kind = Kind::has;
  Phrase phrase;               // piece, `piece property` or `piece property member`; next: a detail
  std::vector<Phrase> others;  // has: `or square`
  std::optional<Cell> value;   // has, total, total_at_most
  std::optional<Text> text;    // caution, no_caution, item, no_item
  Span span;
};

struct Player {
  Word name;
  std::optional<Text> text;
  std::vector<Reading> readings;
  std::vector<Phrase> owns;
  std::optional<Quantity> can_spend;
  std::vector<LeavesWith> leaves_with;
};

struct Item {
  std::variant<Heading, Edition, Money, AlongWith, ReliesOn, Ask, WorkOut, Piece, PieceGroup, Chart, Rule, MakeSure,
               Nobody, Protection, GoesWith, Accept, Worth, Deal, RoundPercentages, OverTheLimit, PlayersOf, Player>
      form;
  Span span;  // the whole item, its indented lines too
  Span head;  // its first line
};

struct Comment {
  Span span;      // from '#' to before the line end
  bool own_line;  // nothing but blanks stand before it
};

struct File {
  std::shared_ptr<const Source> source;
  std::vector<Item> items;        // what could be read, in order
  std::vector<Comment> comments;  // in order
};

}  // namespace lacestay::grammar
