#include "tests/compiler/proof/mixed.hpp"

#include <algorithm>

#include "tests/reference/draw.hpp"
#include "tests/reference/players.hpp"

namespace lacestay::judges {

using naive::Draw;
using naive::Rational;

namespace {

enum class Unit { number, mm, kg };

struct Formula {
  const char* text;
  Unit unit;
};

// Each holds for the asked details below, whoever the player.
const std::vector<Formula> formulas = {
    {"foot / height", Unit::number},
    {"foot / height * score", Unit::number},
    {"score * score", Unit::number},
    {"(height - chest) / foot", Unit::number},
    {"weight / 1 kg / (height / 1 cm)", Unit::number},
    {"weight / 1 kg / (height / 1 m) / (height / 1 m)", Unit::number},
    {"score / (score + 1)", Unit::number},
    {"(foot + chest) / (height + foot)", Unit::number},
    {"foot * score", Unit::mm},
    {"foot + chest * score / 10", Unit::mm},
    {"foot / height * chest", Unit::mm},
    {"the larger of foot * 3 and chest", Unit::mm},
    {"the smaller of (height - chest) and (foot * score)", Unit::mm},
    {"chest - foot", Unit::mm},
    {"foot + foot * sessions / 20", Unit::mm},
    {"height * (score - 3)", Unit::mm},
    {"weight * score / 5", Unit::kg},
    {"weight * (foot / height)", Unit::kg},
    {"weight / (sessions + 1)", Unit::kg},
    {"the larger of weight and score * 20 kg", Unit::kg},
};

class Mixing {
 public:
  explicit Mixing(std::uint64_t seed) : draw_(seed * 31 + 7) {}

  naive::Generated run() {
    text_ =
        "policy \"Mixed\"\nedition 1, in force from 1 September 2026\nmoney GBP\n\n"
        "ask foot 140 to 330 mm\nask height 90 to 215 cm\nask chest 500 to 880 mm\nask weight 12 to 180 kg\n"
        "ask score 1 to 9\nask sessions 0 to 14, whole\nask skill grades new, improving, league\n\n";
    for (auto wanted = draw_.between(1, 3); wanted > 0; --wanted) work_out();
    // Asked details too, so that a rule often looks at a formula and at one of its inputs.
    for (const auto& [name, unit] : {std::pair{"foot", Unit::mm}, {"score", Unit::number}, {"weight", Unit::kg}})
      if (draw_.chance(50)) made_.push_back({name, unit, false, {}});
    measure();
    kit();
    naive::Generated out;
    out.files.push_back({"mixed.fitting", text_});
    return out;
  }

 private:
  struct Made {
    std::string name;
    Unit unit;
    bool worked_out;
    std::vector<Rational> values;  // of drawn players, ascending
  };

  static std::string with_unit(const std::string& number, Unit unit) {
    return number + (unit == Unit::mm ? " mm" : unit == Unit::kg ? " kg" : "");
  }

  void work_out() {
    const auto& drawn = draw_.pick(formulas);
    std::string formula = drawn.text;
    if (draw_.chance(25)) {
      // Over a formula that stands already.
      std::vector<std::string> alike;
      for (const auto& made : made_)
        if (made.unit == drawn.unit) alike.push_back(made.name);
      if (!alike.empty())
        formula = "the " + std::string(draw_.chance(50) ? "larger" : "smaller") + " of " + draw_.pick(alike) +
                  " and (" + formula + ")";
    }
    const auto name = "made_" + std::to_string(made_.size());
    // Coarse: a fine rounding of a quotient is more than z3 is asked to do.
    if (draw_.chance(35)) {
      const std::vector<std::string> ways = {" rounded up to ", " rounded down to ", " rounded to the nearest "};
      const auto step = drawn.unit == Unit::mm ? "200 mm" : drawn.unit == Unit::kg ? "20 kg" : "5";
      formula = "(" + formula + ")" + draw_.pick(ways) + step;
    }
    text_ += "work out " + name + " = " + formula + "\n";
    made_.push_back({name, drawn.unit, true, {}});
  }

  // What values the details have, so that edges fall among them.
  void measure() {
    const auto policy = naive::prepare(std::vector<naive::TextFile>{{"mixed.fitting", text_}});
    naive::PlayerSource source(policy, 1);
    std::vector<naive::Player> players;
    for (int i = 0; i < 40; ++i) players.push_back(source.draw().exact);
    for (auto& made : made_) {
      std::size_t detail = 0;
      while (policy.details[detail].name != made.name) ++detail;
      for (const auto& player : players) made.values.push_back(naive::detail_number(policy, player, detail));
      std::sort(made.values.begin(), made.values.end());
      if (made.worked_out) continue;
      // Well inside an asked detail's own range, or nobody would meet the condition.
      const auto low = made.values.front(), room = (made.values.back() - low) / 10;
      std::erase_if(made.values, [&, high = made.values.back()](const Rational& value) {
        return value < low + room || value > high - room;
      });
    }
  }

  // A value some player about has, to three digits or so.
  std::string edge(const Made& made) {
    auto at = draw_.pick(made.values);
    if (made.unit == Unit::kg) at = at / 1000;
    auto step = Rational::of(1, 100);
    for (const Rational size = at < 0 ? -at : at; step * 1000 < size;) step = step * 10;
    return *naive::decimal(step * std::max<std::int64_t>((at / step).floor(), 1));
  }

  std::string condition() {
    const auto& made = draw_.pick(made_);
    const std::vector<std::string> words = {" under ", " at least ", " over ", " at most "};
    return made.name + draw_.pick(words) + with_unit(edge(made), made.unit);
  }

  std::string conditions() {
    std::string text = "  for " + condition();
    for (auto more = draw_.between(0, 2); more > 0; --more) text += ", " + condition();
    if (draw_.chance(30)) text += ", skill " + draw_.pick(std::vector<std::string>{"new", "improving", "league"});
    return text + "\n";
  }

  std::string chart(const std::string& name, const std::string& gives, const std::vector<std::string>& answers) {
    const auto& made = draw_.pick(made_);
    std::vector<Rational> edges;
    for (auto wanted = draw_.between(1, 3); wanted > 0; --wanted) {
      const auto read = std::stod(edge(made));
      edges.push_back(Rational::of(static_cast<std::int64_t>(read * 1000 + 0.5), 1000));
    }
    std::sort(edges.begin(), edges.end());
    edges.erase(std::unique(edges.begin(), edges.end()), edges.end());
    std::string text = "chart " + name + " gives " + gives + "\n  down " + made.name + "\n";
    for (const auto& at : edges)
      text += "    under " + with_unit(*naive::decimal(at), made.unit) + ": " + draw_.pick(answers) + "\n";
    return text + "    the rest: " + draw_.pick(answers) + "\n";
  }

  void kit() {
    const std::vector<std::string> tiers = {"entry", "club", "performance", "elite"};
    const std::vector<std::string> bands = {"20 to 40 flex", "30 to 60 flex", "50 to 80 flex", "70 to 100 flex"};
    text_ +=
        "\npiece skates always\n  tier grades entry, club, performance, elite\npiece stick always\n"
        "  flex band 20 to 100 flex step 5 flex\npiece neck_guard optional\n  size choice small, large\n\n";
    text_ += chart("tiers", "skates tier", tiers);
    if (draw_.chance(60)) text_ += conditions();
    for (auto more = draw_.between(0, 4); more > 0; --more) {
      const auto kind = draw_.between(0, 2);
      text_ += "rule tier_" + std::to_string(more) + "\n  ";
      text_ += kind == 0 ? "set skates tier to " : kind == 1 ? "floor skates tier at " : "cap skates tier at ";
      text_ += draw_.pick(tiers) + "\n" + conditions();
      if (kind == 0 && draw_.chance(60)) text_ += "  outranks tiers\n";
    }
    text_ += chart("flexes", "stick flex", bands);
    for (auto more = draw_.between(0, 2); more > 0; --more)
      text_ +=
          "rule flex_" + std::to_string(more) + "\n  keep stick flex within " + draw_.pick(bands) + "\n" + conditions();
    text_ += "rule small\n  set neck_guard size to small\n" + conditions();
    text_ += "rule large\n  set neck_guard size to large\n" + conditions();
    text_ += "rule needed\n  need neck_guard\n" + conditions();
    if (draw_.chance(50)) text_ += "rule left_out\n  omit neck_guard\n" + conditions();
  }

  Draw draw_;
  std::string text_;
  std::vector<Made> made_;
};

}  // namespace

naive::Generated mixed_policy(std::uint64_t seed) { return Mixing(seed).run(); }

}  // namespace lacestay::judges
