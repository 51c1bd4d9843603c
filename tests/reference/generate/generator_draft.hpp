// A policy while it is being generated: what has been declared so far, and the items as text. The generator keeps
// its own small model of each detail's range, so that edges can be put inside it.
#pragma once

#include <functional>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "tests/reference/draw.hpp"
#include "tests/reference/generate/generator.hpp"
#include "tests/reference/values.hpp"

namespace lacestay::naive {

struct DraftDetail {
  enum class Kind { number, grades, choice, day };
  std::string name;
  Kind kind = Kind::number;
  Dimension dimension = Dimension::number;
  Rational low, high;  // the range; days as numbers
  Rational grain;      // above 0 where every value is a multiple of it
  std::vector<std::string> members;
  bool age = false;                       // knows only `under` and `at least`
  std::optional<std::string> counted_in;  // the unit, with its blank, that it is asked in whole ones of
  std::string relied_on_in;               // what a pack says after `relies on NAME`: ` in kg`
  std::set<std::size_t> asked;            // the asked details it comes from; itself, if it is asked

  [[nodiscard]] bool is_number() const { return kind == Kind::number; }
  // Can be split in two by an edge or by its members.
  [[nodiscard]] bool splits() const { return members.size() > 1 || low < high; }
};

struct Literal {
  Rational at;
  std::string text;
};

// A formula in the making. `level` says how it binds: -2 a rounding, -1 `the larger of` (its second operand reaches as
// far as a sum goes), 0 a sum, 1 a product, 2 alone.
struct Term {
  std::string text;
  int level = 2;
  Dimension dimension = Dimension::number;
  Rational low, high, grain;
  std::set<std::size_t> asked;
};

struct DraftProperty {
  enum class Kind { grades, choice, range, band };
  std::string piece, name;
  Kind kind = Kind::grades;
  std::vector<std::string> members;
  Dimension dimension = Dimension::number;
  std::string unit;                                 // with its blank
  Rational first, step, one;                        // `one`: what the unit is worth
  std::vector<Rational> sizes;                      // of each answer, where they rise unevenly
  std::int64_t last = 0;                            // the last answer, from 0
  std::optional<std::size_t> sized_from, sized_to;  // `sized_to` of a band

  [[nodiscard]] Rational at(std::int64_t answer) const {
    return sizes.empty() ? first + step * answer : sizes[static_cast<std::size_t>(answer)];
  }
  [[nodiscard]] std::string key() const { return piece + " " + name; }
};

struct DraftPiece {
  std::string name;
  bool optional = false;
  std::vector<DraftProperty> properties;
};

enum class Place { policy, part, pack };

// A rule or a chart, before it is known what it outranks.
struct DraftVoice {
  std::string name;
  std::string head;                  // its first line
  std::vector<std::string> action;   // what it does, or the chart's axes and rows, in order
  std::vector<std::string> clauses;  // in any order
  std::set<std::string> answers;     // keys of the pieces and properties it concerns; none for a caution
  bool base = false;
  bool safety = false;
  Place place = Place::policy;
};

class Draft {
 public:
  Draft(std::uint64_t seed, const Settings& settings)
      : draw_(seed),
        settings_(settings),
        kit_seed_(settings.kit_seed.value_or(seed)),
        sheet_draw_(kit_seed_ * 31 + seed) {}
  Generated run();

 private:
  // ---- details (generator_details.cc)
  void add_asks();
  std::string asked_number(DraftDetail& detail, const std::string& kind);
  std::string asked_members(DraftDetail& detail, const std::string& kind);
  std::string words_shown(const std::string& member);
  void add_worked_out();
  void add_formula();
  bool add_whole_years();  // false if there are no days for it
  bool add_graded_chart();
  void add_detail_chart();
  void declare(DraftDetail detail, std::string item);

  // ---- formulas (generator_formulas.cc)
  [[nodiscard]] static Term term_of(const DraftDetail& detail);
  std::optional<Term> grown(const Term& term);
  std::optional<Term> with_literal(const Term& term, int way);
  std::optional<Term> with_detail(const Term& term, int way);
  std::optional<Term> combined(const Term& a, const Term& b, int way);
  std::optional<Term> rounded(const Term& term);
  std::optional<Term> with_unit(const Term& term, bool age_too);

  // ---- conditions and charts (generator_conditions.cc)
  std::string written(const Rational& at, Dimension dimension);
  std::string written(const DraftDetail& detail, const Rational& at);
  std::optional<Literal> literal(const DraftDetail& detail, bool low_too, bool high_too);
  std::optional<std::string> condition(const DraftDetail& detail);
  std::optional<std::string> whole_range(const DraftDetail& detail);
  // Up to `most` conditions on as many details; nothing if none could be written.
  std::string conditions(std::size_t most, std::set<std::size_t>* asked_only = nullptr);
  std::vector<std::string> heads(const DraftDetail& detail, bool across);
  // The lines of a chart's axes and rows, each cell written by `cell`. With `asked`, the two axes share no asked
  // detail, and it is told which they come from.
  std::optional<std::vector<std::string>> chart_lines(const std::function<std::string()>& cell,
                                                      std::set<std::size_t>* asked = nullptr);

  // ---- the kit (generator_kit.cc)
  void add_pieces();
  std::optional<DraftProperty> property(const std::string& piece, std::set<std::string>& taken, std::string& line);
  std::optional<DraftProperty> sized_property(const std::string& piece, std::string& line);
  void set_range(DraftProperty& property, std::string& line, bool band);
  std::string answer(const DraftProperty& property, std::int64_t at);
  std::string any_answer(const DraftProperty& property);
  [[nodiscard]] static std::string some_of(const DraftProperty& property, Draw& draw);
  [[nodiscard]] static std::string in_unit(const DraftProperty& property, std::int64_t at);
  std::string bare_answer(const DraftProperty& property);
  std::string reference(const DraftProperty& property);
  std::string reference(const std::string& declared);
  void add_voices();
  void add_bases(const DraftProperty& property);
  void add_base(const DraftProperty& property, bool everyone);
  void add_restriction(const DraftProperty& property, Place place);
  void add_presence(Place place);
  void add_steps();  // after the ranking, and by draws of their own
  void add_step(const DraftProperty& property);
  void rank_last(const DraftProperty& property);
  void add_groups();            // as the steps
  void add_keeps_of_choices();  // as the steps
  void add_group_rules(const std::string& group, const std::vector<const DraftPiece*>& pieces);
  void add_refer_of_several(std::vector<const DraftPiece*> pieces);
  void add_caution(Place place);
  DraftVoice& add_rule(const std::string& stem, Place place, const std::string& action, int condition_chance);
  void add_clauses(DraftVoice& voice, int condition_chance);

  // ---- charts in spreadsheets (generator_sheets.cc), by draws of their own
  // What stands behind the chart's first line: its file's name now and then, else its lines.
  std::string laid_out(const std::string& chart, const std::vector<std::string>& lines);
  void lay_out_voices();
  std::optional<std::string> in_a_sheet(const std::string& chart, const std::vector<std::string>& lines);

  // ---- the files (generator.cc)
  void rank();
  [[nodiscard]] std::string item(DraftVoice& voice);
  [[nodiscard]] std::string file(Place place);
  void count(const std::string& construct) { ++counts_[construct]; }

  Draw draw_;
  Settings settings_;
  std::uint64_t kit_seed_;
  Draw sheet_draw_;
  std::vector<TextFile> sheets_;
  Draw open_draw_{kit_seed_ * 13 + 7};  // of what is left open: what a seed gives else stays as it was
  std::map<std::string, std::size_t> counts_;
  std::vector<DraftDetail> details_;
  std::vector<DraftPiece> pieces_;
  std::vector<DraftVoice> voices_;
  std::vector<std::pair<Place, std::string>> items_;  // details and pieces
  std::set<std::size_t> relied_on_;                   // by the pack
  bool part_ = false, pack_ = false;
};

}  // namespace lacestay::naive
