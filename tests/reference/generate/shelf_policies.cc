#include "tests/reference/generate/shelf_policies.hpp"

#include <algorithm>
#include <set>
#include <utility>

#include "tests/reference/draw.hpp"

namespace lacestay::naive {

namespace {

enum class Kind { grades, choice, range, band };

struct SmallProperty {
  std::string piece, name;
  Kind kind = Kind::grades;
  std::vector<std::string> answers;  // in order, without the unit
  std::string unit;                  // with its blank
  bool safe_base = false;

  [[nodiscard]] std::string full() const { return piece + " " + name; }
  [[nodiscard]] std::size_t last() const { return answers.size() - 1; }
};

struct SmallPiece {
  std::string name;
  bool optional = false, conditional = false;
  std::vector<SmallProperty> properties;
};

std::vector<std::string> numbers(int first, int step, int count) {
  std::vector<std::string> all;
  for (int i = 0; i < count; ++i) all.push_back(std::to_string(first + step * i));
  return all;
}

class SmallShelf {
 public:
  explicit SmallShelf(std::uint64_t seed) : draw_(seed), open_draw_(seed * 13 + 7), goods_draw_(seed * 17 + 9) {}

  Generated run() {
    pack_ = draw_.chance(45);
    ask();
    pieces();
    for (auto& piece : pieces_) {
      for (auto& property : piece.properties) rules_of(property);
      rules_of(piece);
    }
    for (const auto& piece : pieces_) accept(piece);
    together();
    for (const auto& piece : pieces_)
      for (const auto& property : piece.properties) claims(property);
    till();
    Generated out;
    std::string opening = "policy \"Generated shelf\"\nedition 1, in force from 1 September 2026\nmoney GBP\n";
    if (pack_) {
      const auto when = draw_.chance(50) ? condition() : "";
      opening += "along with \"house_rules/club.fitting\"" + (when.empty() ? "" : " for " + when) + "\n";
      out.files.push_back({"house_rules/club.fitting", "pack \"Club rules\"\n" + in_pack_});
      count("pack");
    }
    out.files.insert(out.files.begin(), {"generated.fitting", opening + text_});
    out.counts = std::move(counts_);
    return out;
  }

 private:
  void count(const std::string& construct) { ++counts_[construct]; }
  void line(const std::string& text) { text_ += text + "\n"; }

  // ---- players

  void ask() {
    std::vector<std::string> all = {"skill", "role", "sessions", "age"};
    draw_.shuffle(all);
    all.resize(static_cast<std::size_t>(draw_.between(1, 3)));
    for (const auto& name : all) {
      asked_.push_back(name);
      const std::string blank = draw_.chance(50) ? "  may be left blank" : "";
      if (name == "skill") line("ask skill grades new, improving, league" + blank);
      if (name == "role") line("ask role choice skater, goalkeeper" + blank);
      if (name == "sessions") line("ask sessions 0 to 3, whole" + blank);
      if (name == "age") line("ask age 8 to 11 years, whole" + blank);
      if (name == "sessions") {
        line("work out foot = 252 mm + sessions * 5 mm");
        if (draw_.chance(50)) line("work out load = 2 * sessions - 1"), asked_.emplace_back("load");
      }
    }
  }

  bool asks(const std::string& name) const { return std::find(asked_.begin(), asked_.end(), name) != asked_.end(); }

  // On one detail; on two now and then.
  std::string condition() {
    auto on = asked_;
    draw_.shuffle(on);
    auto text = condition(on.front());
    if (on.size() > 1 && draw_.chance(25)) text += ", " + condition(on[1]);
    return text;
  }
  std::string condition(const std::string& name) {
    if (name == "skill")
      return draw_.pick(std::vector<std::string>{"skill new", "skill at least league", "skill at least improving",
                                                 "skill new or league", "skill at most improving"});
    if (name == "role") return draw_.pick(std::vector<std::string>{"role skater", "role goalkeeper"});
    if (name == "age")
      return draw_.pick(std::vector<std::string>{"age under 10", "age at least 10", "age at least 11", "age under 9"});
    return name + draw_.pick(std::vector<std::string>{" over 1", " at most 1", " at least 3", " under 1"});
  }

  // ---- the kit

  void pieces() {
    std::vector<std::string> names = {"helmet", "stick", "boots"};
    draw_.shuffle(names);
    names.resize(static_cast<std::size_t>(draw_.between(1, 2)));
    for (const auto& name : names) {
      SmallPiece piece;
      piece.name = name;
      piece.optional = draw_.chance(30);
      piece.conditional = !piece.optional && draw_.chance(25);
      text_ += "piece " + name +
               (piece.optional      ? " optional"
                : piece.conditional ? " for " + condition()
                                    : " always") +
               "\n";
      count(piece.optional ? "piece optional" : piece.conditional ? "piece for" : "piece always");
      std::vector<int> forms = {0, 1, 2, 3};
      draw_.shuffle(forms);
      forms.resize(static_cast<std::size_t>(draw_.between(1, 2)));
      for (const auto form : forms) {
        if (form == 0) add(piece, {name, "tier", Kind::grades, {"entry", "club", "top", "elite"}, ""});
        if (form == 1) add(piece, {name, "toe", Kind::choice, {"round", "square", "open"}, ""});
        if (form == 2) add(piece, {name, "size", Kind::range, sizes(250, 5, 5), " mm"});
        if (form != 3) continue;
        if (draw_.chance(75)) add(piece, {name, "length", Kind::range, sizes(50, 2, 4), " in"});
        add(piece, {name, "flex", Kind::band, numbers(40, 10, 6), " flex"});
      }
      pieces_.push_back(std::move(piece));
    }
  }

  // Now and then from one to the next it is as far as two others, or three.
  std::vector<std::string> sizes(int first, int step, int count) {
    auto all = numbers(first, step, count);
    if (draw_.chance(30))
      for (std::size_t i = 1; i < all.size(); ++i)
        all[i] = std::to_string(std::stoi(all[i - 1]) + step * static_cast<int>(draw_.between(1, 3)));
    return all;
  }

  void add(SmallPiece& piece, SmallProperty property) {
    const auto& all = property.answers;
    if (property.kind == Kind::grades || property.kind == Kind::choice) {
      text_ += "  " + property.name + (property.kind == Kind::grades ? " grades " : " choice ");
      for (std::size_t i = 0; i < all.size(); ++i) text_ += (i ? ", " : "") + all[i];
    } else {
      const auto step = std::to_string(std::stoi(all[1]) - std::stoi(all[0]));
      if (property.kind == Kind::range &&
          all != numbers(std::stoi(all[0]), std::stoi(step), static_cast<int>(all.size()))) {
        text_ += "  " + property.name + " one of ";
        for (std::size_t i = 0; i < all.size(); ++i) text_ += (i ? ", " : "") + all[i];
        text_ += property.unit;
        count("property of uneven sizes");
      } else
        text_ += "  " + property.name + (property.kind == Kind::band ? " band " : " ") + all.front() + " to " +
                 all.back() + property.unit + " step " + step + property.unit;
    }
    text_ += "\n";
    piece.properties.push_back(std::move(property));
  }

  std::string any_answer(const SmallProperty& property) {
    if (property.kind != Kind::band) {
      const auto one = draw_.pick(property.answers) + property.unit;
      if (property.kind != Kind::choice || !open_draw_.chance(40)) return one;
      return count("a choice left open"), some_of(property, open_draw_);
    }
    const auto low = draw_.place(property.last());
    const auto high = low + 1 + draw_.place(property.last() - low);
    return property.answers[low] + " to " + property.answers[high] + property.unit;
  }

  // Of a choice two members, or all three.
  static std::string some_of(const SmallProperty& property, Draw& draw) {
    if (draw.chance(35)) return "any of them";
    const auto left_out = draw.place(property.answers.size());
    std::string text;
    for (std::size_t i = 0; i < property.answers.size(); ++i)
      if (i != left_out) text += (text.empty() ? "" : " or ") + property.answers[i];
    return text;
  }

  // ---- rules

  std::string name_of_rule() { return "r" + std::to_string(++rules_); }

  // A rule of the policy, or of the pack where that may say such a thing.
  void rule(const std::string& action, bool always, bool safety, bool may_be_in_pack,
            const std::string& outranks = "") {
    const bool packed = pack_ && may_be_in_pack && draw_.chance(35);
    auto when = always ? "" : condition();
    // What a pack relies on it would have to say; its `along with` line narrows it instead.
    if (packed) when = "";
    auto& text = packed ? in_pack_ : text_;
    text += "rule " + name_of_rule() + "\n  " + action + "\n";
    if (!when.empty()) text += "  for " + when + "\n";
    if (!outranks.empty()) text += "  outranks " + outranks + "\n";
    if (safety) text += "  safety\n";
    count((safety ? "safety " : "") + action.substr(0, action.find(' ')) + (packed ? " of a pack" : ""));
  }

  void rules_of(SmallProperty& property) {
    const bool safety = draw_.chance(25);
    if (property.kind == Kind::range && property.unit == " mm" && asks("sessions") && draw_.chance(50)) {
      rule("size " + property.full() + " from foot", true, safety, false);
    } else if (draw_.chance(50)) {
      chart(property, safety);
    } else {
      rule("set " + property.full() + " to " + any_answer(property), true, safety, false);
    }
    const auto first = "r" + std::to_string(rules_);
    if (draw_.chance(40)) {
      const bool over = safety || draw_.chance(25);
      rule("set " + property.full() + " to " + any_answer(property), false, over, false, first);
    }
    if (property.kind == Kind::band) {
      for (auto more = draw_.between(0, 2); more > 0; --more) {
        // Wide, so that something is left of most bands.
        const bool low = draw_.chance(50);
        const auto from = low ? draw_.place(3) : 0, to = low ? property.last() : property.last() - draw_.place(3);
        if (from == 0 && to == property.last()) continue;
        rule("keep " + property.full() + " within " + property.answers[from] + " to " + property.answers[to] +
                 property.unit,
             draw_.chance(30), draw_.chance(50), true);
      }
    } else if (property.kind == Kind::choice) {
      keeps_of(property);
    } else {
      for (auto more = draw_.between(0, 3); more > 0; --more) {
        const bool floor = draw_.chance(50);
        const auto at = floor ? draw_.place(2) + (draw_.chance(20) ? 1 : 0)
                              : property.last() - draw_.place(2) - (draw_.chance(20) ? 1 : 0);
        rule((floor ? "floor " : "cap ") + property.full() + " at " + property.answers[at] + property.unit,
             draw_.chance(30), draw_.chance(50), true);
      }
    }
    if (draw_.chance(12)) rule("refer " + property.full(), false, draw_.chance(40), false);
  }

  // Two members each, so that two of them leave something, and three may leave nothing.
  void keeps_of(const SmallProperty& property) {
    std::swap(draw_, open_draw_);
    for (auto more = draw_.between(0, 4) - 2; more > 0; --more) {
      const auto some = some_of(property, draw_);
      const bool always = draw_.chance(30), safety = draw_.chance(50);
      rule("keep " + property.full() + " within " + some, always, safety, true);
    }
    std::swap(draw_, open_draw_);
  }

  void chart(const SmallProperty& property, bool safety) {
    const auto on = draw_.pick(asked_);
    std::vector<std::string> heads;
    if (on == "skill")
      heads = draw_.chance(50) ? std::vector<std::string>{"new", "improving", "league"}
                               : std::vector<std::string>{"new, league", "improving"};
    if (on == "role") heads = {"skater", "goalkeeper"};
    if (on == "age") heads = {"under 10 years", "the rest"};
    if (on == "sessions" || on == "load") heads = {"under 1", "at most 2", "the rest"};
    text_ += "chart " + name_of_rule() + " gives " + property.full() + "\n  down " + on + "\n";
    for (const auto& head : heads) text_ += "    " + head + ": " + any_answer(property) + "\n";
    if (safety) text_ += "  safety\n";
    count(safety ? "safety chart" : "chart");
  }

  void rules_of(const SmallPiece& piece) {
    if (piece.properties.size() > 1 && draw_.chance(5)) rule("refer " + piece.name, false, draw_.chance(30), false);
    if (!piece.optional && !piece.conditional && !draw_.chance(15)) return;
    for (auto more = draw_.between(piece.optional ? 1 : 0, 2); more > 0; --more) {
      const bool need = draw_.chance(60);
      rule((need ? "need " : "suggest ") + piece.name, draw_.chance(25), draw_.chance(30), need);
    }
    if (piece.optional && draw_.chance(15)) rule("omit " + piece.name, false, false, false);
  }

  // ---- the shelf

  // Whom a piece's accept lines are for: mostly all; some, the others left without; or two lines, which rarely meet.
  std::vector<std::string> players() {
    const auto drawn = draw_.between(1, 100);
    if (drawn <= 55) return {""};
    if (drawn <= 68) return {condition()};
    if (drawn <= 72) return {condition(), condition()};
    const auto& on = draw_.pick(asked_);
    if (on == "skill") return {"skill new", draw_.chance(70) ? "skill improving or league" : "skill league"};
    if (on == "role") return {"role skater", "role goalkeeper"};
    if (on == "age") return {"age under 10", draw_.chance(70) ? "age at least 10" : "age at least 11"};
    return {on + " at most 1", on + (draw_.chance(70) ? " over 1" : " at least 3")};
  }

  void accept(const SmallPiece& piece) {
    if (draw_.chance(8)) return count("nothing accepted");
    const auto lines = players();
    for (const auto& whom : lines) accept(piece, whom);
    if (!lines.front().empty()) count(lines.size() == 1 ? "accept for some" : "two accept lines");
  }

  void accept(const SmallPiece& piece, const std::string& whom) {
    std::string with;
    const auto add = [&](const std::string& one) {
      with += (with.empty() ? "" : ", ") + one, count(one.substr(one.find(' ') + 1));
    };
    std::vector<const SmallProperty*> held;
    bool length = false;
    for (const auto& property : piece.properties) {
      if (!draw_.chance(75)) continue;
      if (property.kind != Kind::band && property.kind != Kind::range && draw_.chance(20)) {
        with += (with.empty() ? "" : ", ") + property.name + " " + draw_.pick(property.answers);
        count("accept a member");
        if (draw_.chance(70)) continue;
      }
      held.push_back(&property);
      length |= property.name == "length";
      if (property.kind == Kind::band) {
        const bool has_length = std::any_of(piece.properties.begin(), piece.properties.end(),
                                            [](const auto& one) { return one.name == "length"; });
        add(property.name +
            (has_length && draw_.chance(70) ? " within advised once cut to length" : " within advised"));
      } else if (property.kind == Kind::choice) {
        add(property.name + " as advised");
      } else {
        const auto drawn = draw_.between(1, 100);
        if (drawn <= 30) add(property.name + " as advised");
        if (drawn > 30 && drawn <= 68) add(property.name + " at least advised");
        if (drawn > 68 && drawn <= 98) add(property.name + " at most advised");
        if (drawn > 98) add(property.name + " at least advised"), add(property.name + " at most advised");
      }
    }
    if (asks("sessions") && draw_.chance(12)) add("covers sessions");
    if (draw_.chance(20)) add("certified until today");
    if (draw_.chance(12))
      add("price " + draw_.pick(std::vector<std::string>{"at most", "under", "at least", "over"}) + " " +
          std::to_string(draw_.between(10, 80)) + " GBP");
    if (draw_.chance(12)) add("made at most " + std::to_string(draw_.between(1, 3)) + " years before today");
    if (draw_.chance(8) && may_free(piece)) add("condition new or used");
    if (with.empty() || draw_.chance(20)) add("condition new");
    const bool wants_new = with.ends_with("condition new"), free = may_free(piece);
    const bool used_too = wants_new && free && goods_draw_.chance(60);
    if (free && goods_draw_.chance(20))
      add("price at most " + std::to_string(goods_draw_.between(2, 8) * 10) + " GBP" +
          of_goods(!wants_new || used_too));
    if (free && goods_draw_.chance(20))
      add("made at most " + std::to_string(goods_draw_.between(1, 3)) + " years before today" +
          of_goods(!wants_new || used_too));
    if (wants_new && free) sold_new_.insert(piece.name);
    line("accept " + piece.name + " with " + with + (whom.empty() ? "" : " for " + whom));
    for (const auto* property : held) held_.emplace_back(&piece, property);
    if (used_too) line("  if none in stock, any condition"), count("used when none is in stock");
    if (!held.empty())
      for (auto more = draw_.between(0, 3); more > 0; --more) {
        const auto* property = draw_.pick(held);
        const bool steps = property->kind != Kind::choice && draw_.chance(80);
        if (!steps && !may_free(piece)) continue;
        const int by = static_cast<int>(draw_.between(1, 2));
        const bool up = draw_.chance(50);
        if (steps)
          line(std::string("  if none in stock, ") + (by == 1 ? "one step " : "two steps ") + (up ? "up" : "down") +
               " in " + property->name);
        else
          line("  if none in stock, any " + property->name);
        count(steps ? "a step when none is in stock" : "any when none is in stock");
      }
    if (draw_.chance(30)) {
      const bool refer = draw_.chance(50);
      line(refer ? "  if none in stock, refer" : "  if none in stock, order");
      count(refer ? "refer when none is in stock" : "order when none is in stock");
    }
  }

  // Asked of used goods alone, or of new ones.
  std::string of_goods(bool used) {
    const bool of_used = used && goods_draw_.chance(70);
    count(of_used ? "asked of used goods" : "asked of new goods");
    return of_used ? " if used" : " if new";
  }

  // Protection is never passed over; a piece that a safety rule speaks of is that.
  bool may_free(const SmallPiece& piece) const {
    for (const auto* text : {&text_, &in_pack_})
      for (std::size_t at = text->find("  safety"); at != std::string::npos; at = text->find("  safety", at + 1)) {
        const auto from = std::max(text->rfind("\nrule ", at) + 1, text->rfind("\nchart ", at) + 1);
        if (text->substr(from, at - from).find(" " + piece.name) != std::string::npos) return false;
      }
    return true;
  }

  void claims(const SmallProperty& property) {
    for (auto more = draw_.between(0, 2); more > 0; --more) {
      const bool advice = draw_.chance(15);
      std::string text = std::string("make sure ") + (advice ? "the advice of " : "") + property.full();
      if (advice) count("make sure of the advice alone");
      const auto last = property.last();
      if (property.kind == Kind::choice) {
        const auto left_out = draw_.place(property.answers.size());
        std::vector<std::string> some;
        for (std::size_t i = 0; i <= last; ++i)
          if (i != left_out) some.push_back(property.answers[i]);
        if (draw_.chance(25)) some.pop_back();
        text += " is " + some[0] + (some.size() > 1 ? " or " + some[1] : "");
        count("make sure of members");
      } else {
        const auto form = draw_.between(1, 3);
        const auto low = draw_.place(2) + (draw_.chance(20) ? 1 : 0), high = last - draw_.place(2);
        if (form == 1) text += " is at least " + property.answers[low] + property.unit;
        if (form == 2) text += " is at most " + property.answers[high] + property.unit;
        if (form == 3) text += " is within " + property.answers[low] + " to " + property.answers[high] + property.unit;
        if (form == 3 && property.kind == Kind::grades) continue;
        count(form == 1 ? "make sure at least" : form == 2 ? "make sure at most" : "make sure within");
      }
      if (draw_.chance(40)) text += " for " + condition();
      line(text);
    }
  }

  // Each with one before it: a tree, of whatever shape.
  void together() {
    if (!draw_.chance(35)) return;
    for (std::size_t i = 1; i < pieces_.size() && i < 4; ++i) {
      if (draw_.chance(25)) continue;
      const auto other = draw_.place(i);
      const bool first = draw_.chance(50);
      goes_with_.emplace_back(first ? i : other, first ? other : i);
      line(pieces_[goes_with_.back().first].name + " goes with " + pieces_[goes_with_.back().second].name);
      count("goes with");
      if (!goods_draw_.chance(50)) continue;
      goes_with_.emplace_back(goes_with_.back().second, goes_with_.back().first);
      line(pieces_[goes_with_.back().first].name + " goes with " + pieces_[goes_with_.back().second].name);
      count("goes with, both ways");
    }
  }

  // What protects goes with it, or with what does.
  bool beside_protection(std::size_t piece) const {
    std::set<std::size_t> lost = {piece};
    for (std::size_t before = 0; before != lost.size();) {
      before = lost.size();
      for (const auto& link : goes_with_)
        if (lost.count(link.second) != 0) lost.insert(link.first);
    }
    lost.erase(piece);
    return std::any_of(lost.begin(), lost.end(), [&](std::size_t each) { return !may_free(pieces_[each]); });
  }

  // ---- the till

  std::string for_some(const std::string& what) {
    if (!draw_.chance(75)) return "";
    count(what + " for some");
    return " for " + condition();
  }

  void till() {
    for (const auto& piece : pieces_)
      for (const auto& property : piece.properties)
        if ((property.kind == Kind::grades || property.kind == Kind::range) && draw_.chance(40))
          line("worth " + property.full() + " " + std::to_string(draw_.between(1, 30)) + " GBP a step" +
               for_some("worth")),
              count("worth");
    if (pieces_.size() > 1 && draw_.chance(96))
      line("deal both" + for_some("deal") + "\n  for " + pieces_[0].name + " with " + pieces_[1].name + "\n  " +
           std::to_string(draw_.between(20, 120)) + " GBP together"),
          count("deal");
    if (pieces_.size() > 1 && draw_.chance(92))
      line("deal makes" + for_some("deal") + "\n  for 2 or more pieces of one make\n  10% off"),
          count("deal of one make");
    std::string plan;
    for (const auto& piece : pieces_) {
      const bool free = may_free(piece) && !beside_protection(static_cast<std::size_t>(&piece - pieces_.data()));
      if (!free || !draw_.chance(60)) continue;
      if (draw_.chance(50))
        plan += "  buy used " + piece.name + " for " + std::to_string(draw_.between(1, 30)) + " GBP" +
                for_some("over the limit") + "\n";
      else
        plan += "  put off " + piece.name + for_some("over the limit") + "\n";
    }
    plan.insert(0, settled());
    if (!plan.empty()) text_ += "over the limit\n" + plan, count("over the limit");
  }

  // What may be settled for comes before what ends a piece.
  std::string settled() {
    std::string lines;
    for (const auto& [piece, property] : held_) {
      if (!draw_.chance(80)) continue;
      const bool steps = property->kind != Kind::choice && draw_.chance(85);
      if (!steps && !may_free(*piece)) continue;
      const auto what = !steps             ? "any "
                        : draw_.chance(30) ? "two steps down in "
                        : draw_.chance(70) ? "one step down in "
                                           : "one step up in ";
      const auto line = "  settle for " + (what + property->full());
      if (lines.find(line) != std::string::npos) continue;
      lines += line + (draw_.chance(40) ? for_some("settle") : "") + "\n";
      count(steps ? "settle for a step" : "settle for any");
    }
    for (const auto& piece : sold_new_) {
      if (!goods_draw_.chance(60)) continue;
      std::swap(draw_, goods_draw_);
      lines += "  settle for any " + piece + " condition" + (draw_.chance(80) ? for_some("settle") : "") + "\n";
      std::swap(draw_, goods_draw_);
      count("settle for used");
    }
    return lines;
  }

  // `open_draw_`: of what is left open, `goods_draw_`: of new and used goods, and of what is not sold without what goes
  // with it; so that what a seed gives else stays as it was.
  Draw draw_, open_draw_, goods_draw_;
  bool pack_ = false;
  std::vector<std::string> asked_;
  std::vector<SmallPiece> pieces_;
  std::vector<std::pair<std::size_t, std::size_t>> goes_with_;
  std::vector<std::pair<const SmallPiece*, const SmallProperty*>> held_;  // to the advice, by an accept line
  std::set<std::string> sold_new_;                                        // pieces of which a line wants new goods
  std::string text_, in_pack_;
  int rules_ = 0;
  std::map<std::string, std::size_t> counts_;
};

}  // namespace

Generated generate_shelf(std::uint64_t seed) { return SmallShelf(seed).run(); }

}  // namespace lacestay::naive
