#include "runtime/quote/matching.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "compiler/law/law.hpp"
#include "compiler/shelf/stages.hpp"
#include "compiler/space/reach.hpp"
#include "runtime/quote/partners.hpp"

namespace lacestay::runtime {

using compiler::Link;
using compiler::Requirement;
using compiler::Stage;
using compiler::Table;

namespace {

// The most near misses listed for a piece.
constexpr std::size_t most_near = 3;

class Matching {
 public:
  Matching(const Engine& engine, const Player& player, const std::vector<Possible>& possible, const Stock& stock,
           std::int64_t today)
      : engine_(engine),
        policy_(engine.policy()),
        player_(player),
        stock_(stock),
        possible_(possible),
        of_property_(policy_.properties.size()),
        of_piece_(policy_.pieces.size()),
        holding_(policy_, stock, today, measured(policy_, player)) {
    for (TableId id = 0; id < possible_.size(); ++id) {
      const auto& table = policy_.tables.tables[id];
      if (table.kind == Table::Kind::property) of_property_[table.target] = id;
      if (table.kind == Table::Kind::piece) of_piece_[table.target] = id;
    }
  }

  std::vector<Match> run() {
    for (std::uint32_t piece = 0; piece < policy_.pieces.size(); ++piece) {
      if (owns(piece)) continue;
      const auto id = of_piece_[piece];
      bool in = false, out = false;
      for (const auto found : possible_[id].classes)
        (compiler::in_kit(engine_.outcome(id, found).standing) ? in : out) = true;
      if (!in) continue;
      Match made;
      made.piece = piece;
      made.suggested = std::none_of(possible_[id].classes.begin(), possible_[id].classes.end(), [&](auto found) {
        return engine_.outcome(id, found).standing == Standing::needed;
      });
      if (out) {
        made.kind = Match::Kind::not_certain;
        made.not_known = unknown_under(id);
      } else {
        choose(made);
      }
      all_.push_back(std::move(made));
    }
    if (!waiting_.empty()) bring_together();
    return std::move(all_);
  }

 private:
  // What a piece is matched from: its stages, and what is known of its properties.
  struct Ground {
    std::vector<Stage> stages;
    std::vector<KnownProperty> known;  // by property of the piece
  };
  // A piece that is linked to others waits for them.
  struct Waiting {
    std::size_t at;  // into all_
    Ground ground;
    bool decided = false;
  };

  bool owns(std::uint32_t piece) const { return std::binary_search(player_.owns.begin(), player_.owns.end(), piece); }

  static std::vector<compiler::Interval> measured(const compiler::Policy& policy, const Player& player) {
    compiler::Reach reach(policy.tables);
    (void)reach.over(ranges_of(policy.tables, player));
    std::vector<compiler::Interval> columns;
    for (std::size_t i = 0; i < policy.tables.columns.size(); ++i) columns.push_back(reach.value(i));
    return columns;
  }

  // The accept line that is for the player; nothing where none is, or where that is not certain.
  std::optional<std::size_t> line_for(Match& made) const {
    const auto& lines = policy_.shop.accepts[made.piece];
    made.kind = lines.empty() ? Match::Kind::not_sold : Match::Kind::not_for_him;
    for (std::size_t i = 0; i < lines.size(); ++i) {
      const auto known = applies(engine_, player_, lines[i].players);
      if (known == Applies::yes) return i;
      if (known == Applies::no) continue;
      made.kind = Match::Kind::not_certain;
      for (auto& name : unknown_under(*lines[i].players)) made.not_known.push_back(std::move(name));
    }
    tidy(made.not_known);
    return std::nullopt;
  }

  std::vector<std::string> unknown_under(TableId id) const {
    std::vector<std::string> names;
    const auto looked_at = policy_.tables.asked_under(policy_.tables.tables[id]);
    for (std::size_t i = 0; i < looked_at.size(); ++i)
      if (looked_at[i] && !player_.readings[i]) names.push_back(policy_.details[i].name);
    return names;
  }

  void choose(Match& made) {
    const auto line = line_for(made);
    ground_.known.assign(policy_.pieces[made.piece].properties, {});
    if (!line) {
      const bool his = made.kind == Match::Kind::not_certain && reaches_items() && is_the_fitters(made.piece);
      if (his) made.kind = Match::Kind::refer, made.not_known.clear();
      return;
    }
    made.line = *line;
    const auto& accepts = policy_.shop.accepts[made.piece][*line];
    ground_.stages = compiler::stages_of(policy_, made.piece, *line);
    if (!settle(accepts, made)) return;
    if (is_linked(made.piece)) return waiting_.push_back({all_.size(), std::move(ground_)});
    look_on_shelf(accepts, made);
    find_near(accepts, made);
  }

  // Stage by stage, then by the first line that refers or orders.
  void look_on_shelf(const compiler::Acceptance& accepts, Match& made) {
    for (std::size_t stage = 0; stage < ground_.stages.size(); ++stage)
      if (auto items = on_hand(ground_.stages[stage], accepts, made.piece); !items.empty())
        return take(stage, std::move(items), made);
    look_past_shelf(accepts, made);
  }

  // Nothing is handed over at any stage.
  void look_past_shelf(const compiler::Acceptance& accepts, Match& made) const {
    // Bounds of players who differ in a blank detail stand together; which of them is his, that detail tells.
    for (std::uint32_t i = 0; i < ground_.known.size(); ++i)
      if (ground_.known[i].varies) not_certain(made, first_property(made.piece) + i);
    if (made.kind == Match::Kind::not_certain) {
      made.instead.reset();
      return tidy(made.not_known);
    }
    for (std::size_t i = 0; i < accepts.instead.size(); ++i) {
      const auto kind = accepts.instead[i].kind;
      made.instead = i;
      if (kind == compiler::Instead::Kind::refer) return void(made.kind = Match::Kind::refer);
      if (kind == compiler::Instead::Kind::order) return void(made.kind = Match::Kind::order);
    }
    made.instead.reset();
    made.kind = Match::Kind::none;
  }

  std::uint32_t first_property(std::uint32_t piece) const { return policy_.pieces[piece].first_property; }
  bool reaches_items() const { return policy_.tables.safety_reaches_items; }

  void not_certain(Match& made, std::uint32_t property) const {
    made.kind = Match::Kind::not_certain;
    for (auto& name : unknown_under(of_property_[property])) made.not_known.push_back(std::move(name));
  }
  static void tidy(std::vector<std::string>& names) {
    std::sort(names.begin(), names.end());
    names.erase(std::unique(names.begin(), names.end()), names.end());
  }

  // What is advised of all the line looks at, and what binds items; false where one of these is not certain, or
  // anything of the piece is for the fitter.
  bool settle(const compiler::Acceptance& accepts, Match& made) {
    made.kind = Match::Kind::none;
    if (reaches_items() && is_the_fitters(made.piece)) {
      made.kind = Match::Kind::refer;
      return false;
    }
    for (std::uint32_t i = 0; i < ground_.known.size(); ++i) settle_property(made, i);
    for (const auto& need : accepts.requirements) {
      if (need.once_cut_to)
        made.cut_to = policy_.properties[*need.once_cut_to].at(
            ground_.known[*need.once_cut_to - first_property(made.piece)].advised.low);
      if (need.kind != Requirement::Kind::covers ||
          compiler::compare(holding_.measured(need.column).lowest, holding_.measured(need.column).highest) == 0)
        continue;
      made.kind = Match::Kind::not_certain;
      policy_.tables.each_asked_under(need.column, [&](std::uint16_t detail) {
        if (!player_.readings[detail]) made.not_known.push_back(policy_.details[detail].name);
      });
    }
    tidy(made.not_known);
    return made.kind == Match::Kind::none;
  }

  bool to_fitter(TableId id, ClassId found) const { return engine_.outcome(id, found).standing == Standing::referred; }
  // Some property is left to the fitter whatever the blanks are, named by the line or not: no detail would change that.
  bool is_the_fitters(std::uint32_t piece) const {
    for (std::uint32_t at = 0; at < ground_.known.size(); ++at) {
      const auto id = of_property_[first_property(piece) + at];
      const auto& classes = possible_[id].classes;
      if (std::all_of(classes.begin(), classes.end(), [&](auto found) { return to_fitter(id, found); })) return true;
    }
    return false;
  }

  void settle_property(Match& made, std::uint32_t at) {
    const auto property = first_property(made.piece) + at;
    const auto id = of_property_[property];
    const auto& classes = possible_[id].classes;
    auto& known = ground_.known[at];
    const auto& first = engine_.outcome(id, classes.front());
    const bool looked_at = ground_.stages.front().asked[at].rests_on_advice();
    if (looked_at && different_outcomes(engine_, id, classes) > 1) return not_certain(made, property);
    if (!looked_at && reaches_items() &&
        std::any_of(classes.begin(), classes.end(), [&](auto found) { return to_fitter(id, found); }))
      return not_certain(made, property);
    if (looked_at && first.standing != Standing::answered) {
      if (made.kind != Match::Kind::not_certain && made.kind != Match::Kind::no_answer)
        made.kind = first.standing == Standing::referred ? Match::Kind::refer : Match::Kind::no_answer;
      return;
    }
    known.advised = first;
    for (const auto found : classes) {
      const auto& table = policy_.tables.tables[id];
      const auto bounds = compiler::item_bounds(policy_.tables, table, engine_.rows(id, found));
      known.bounds.emplace_back(bounds, engine_.outcome(id, found));
      const auto& [other, outcome] = known.bounds.front();
      known.varies |= bounds != other || (bounds.base && known.bounds.back().second != outcome);
    }
  }

  bool is_refused_by_form_1(const Stage& stage, std::uint32_t piece) const {
    for (std::uint32_t at = 0; at < stage.asked.size(); ++at) {
      const auto id = of_property_[first_property(piece) + at];
      for (const auto found : possible_[id].classes)
        if (compiler::refused_by_form_1(policy_.tables, policy_.tables.tables[id], engine_.rows(id, found),
                                        stage.asked[at], ground_.known[at].advised))
          return true;
    }
    return false;
  }

  // What is handed over at a stage, and only then: places in the stock.
  std::vector<std::size_t> on_hand(const Stage& stage, const compiler::Acceptance& accepts, std::uint32_t piece) {
    std::vector<std::size_t> items;
    if (is_refused_by_form_1(stage, piece)) return items;
    holding_.hold_to(stage, piece, ground_.known);
    for (auto i = stock_.first[piece]; i < stock_.first[piece + 1]; ++i)
      if (holding_.fits(stock_.items[i], accepts)) items.push_back(i);
    return items;
  }
  void take(std::size_t stage, std::vector<std::size_t> items, Match& made) {
    holding_.hold_to(ground_.stages[stage], made.piece, ground_.known);
    made.kind = Match::Kind::items;
    made.instead = ground_.stages[stage].instead;
    made.held = holding_.held();
    made.items = std::move(items);
    if (made.suggested) return;
    for (const auto& other : compiler::settled_stages(policy_, made.piece, made.line)) {
      if (applies(engine_, player_, policy_.shop.plan[*other.settled].players) != Applies::yes) continue;
      auto settled = on_hand(other, accepted(made), made.piece);
      if (!settled.empty()) made.settled.push_back({*other.settled, std::move(settled), holding_.held()});
    }
  }

  // As advised, at the first stage.
  void find_near(const compiler::Acceptance& accepts, Match& made) {
    if (made.kind == Match::Kind::not_certain) return;
    holding_.hold_to(ground_.stages.front(), made.piece, ground_.known);
    for (auto i = stock_.first[made.piece]; i < stock_.first[made.piece + 1] && made.near.size() < most_near; ++i) {
      const auto is = [&](const NearMiss& near) { return near.item == i; };
      if (std::binary_search(made.items.begin(), made.items.end(), i)) continue;  // handed over after all
      if (std::any_of(made.near.begin(), made.near.end(), is)) continue;
      auto lacking = holding_.lacks(stock_.items[i], accepts);
      if (is_linked(made.piece) && (lacking.empty() || !goes_with_what_is_had(i))) lacking.push_back(goes_with_none(i));
      if (lacking.size() == 1) made.near.push_back({i, std::move(lacking.front())});
    }
  }
  // With something of each partner's that is handed over.
  bool goes_with_what_is_had(std::size_t item) const {
    const auto all = partners(stock_.items[item].piece);
    return std::all_of(all.begin(), all.end(), [&](std::uint32_t partner) {
      const auto* match = match_of(partner);
      return !match || !those_that_go(stock_, {item}, match->items).empty();
    });
  }
  // Of an item that lacks nothing and is not handed over all the same.
  std::string goes_with_none(std::size_t item) const {
    const auto& cell = stock_.items[item].goes_with;
    if (partners(stock_.items[item].piece).empty()) return "nothing that may be had with it goes with it";
    return cell.empty() ? "it is not told what it goes with" : "it goes with " + cell;
  }

  // ---- pieces that go together

  bool is_linked(std::uint32_t piece) const {
    const auto& links = policy_.shop.links;
    return std::any_of(links.begin(), links.end(),
                       [&](const Link& link) { return link.piece == piece || link.partner == piece; });
  }
  const compiler::Acceptance& accepted(const Match& match) const {
    return policy_.shop.accepts[match.piece][match.line];
  }
  std::vector<std::uint32_t> partners(std::uint32_t piece) const {
    std::vector<std::uint32_t> all;
    for (const auto& link : policy_.shop.links)
      if (link.piece == piece) all.push_back(link.partner);
    return all;
  }
  const Match* match_of(std::uint32_t piece) const {
    const auto found = std::find_if(all_.begin(), all_.end(), [&](const Match& match) { return match.piece == piece; });
    return found == all_.end() ? nullptr : &*found;
  }
  // On the bill: needed, and something is handed over.
  bool on_the_bill(std::uint32_t piece) const {
    const auto* match = match_of(piece);
    return match && !match->suggested && match->kind == Match::Kind::items;
  }

  void bring_together() {
    for (auto& each : waiting_) leave_beside_owned(each);
    std::vector<Offer> offers;
    for (auto& each : waiting_)
      if (!each.decided && !all_[each.at].suggested) offers.push_back(offer(each));
    const auto found = together(policy_.shop.links, policy_.pieces.size(), stock_, offers);
    for (std::size_t i = 0; i < offers.size(); ++i)
      if (found[i].given_up) given_up_.push_back(offers[i].piece);
    // What a piece without an item comes to may turn on its partner's, which comes before it; what was given up, on
    // the piece without which it is not sold.
    for (const bool suggested : {false, true})
      for (const bool given_up : {false, true})
        for (const auto piece : partners_first(policy_.shop.links, policy_.pieces.size()))
          for (auto& each : waiting_) {
            auto& made = all_[each.at];
            if (each.decided || made.piece != piece || made.suggested != suggested || is_given_up(piece) != given_up)
              continue;
            const auto at = std::find_if(offers.begin(), offers.end(), [&](auto& one) { return one.piece == piece; });
            ground_ = std::move(each.ground);
            if (suggested)
              suggest(made);
            else if (given_up)
              give_up(made);
            else
              settle_offer(found[static_cast<std::size_t>(at - offers.begin())], *at, made);
          }
  }
  bool is_given_up(std::uint32_t piece) const {
    return std::find(given_up_.begin(), given_up_.end(), piece) != given_up_.end();
  }

  // There is something of it, but not of all without which it is not sold: for the fitter, or, where one of these may
  // yet be had, for the detail that tells.
  void give_up(Match& made) const {
    const auto tree_of = trees(policy_.shop.links, policy_.pieces.size());
    made.kind = Match::Kind::refer;
    for (const auto& other : all_) {
      if (tree_of[other.piece] != tree_of[made.piece] || is_given_up(other.piece)) continue;
      if (other.kind != Match::Kind::not_certain) continue;
      made.kind = Match::Kind::not_certain;
      made.not_known.insert(made.not_known.end(), other.not_known.begin(), other.not_known.end());
    }
    tidy(made.not_known);
    for (const auto& link : policy_.shop.links)
      for (const auto lost : {link.piece, link.partner})
        if (link.without(lost) == made.piece && !on_the_bill(lost)) made.partners.push_back(lost);
  }

  // What the customer has nobody knows, so what goes with it is the fitter's.
  void leave_beside_owned(Waiting& waiting) {
    auto& made = all_[waiting.at];
    for (const auto& link : policy_.shop.links) {
      if (link.piece == made.piece && owns(link.partner)) made.partners.push_back(link.partner);
      if (link.partner == made.piece && owns(link.piece)) made.partners.push_back(link.piece);
    }
    if (made.partners.empty()) return;
    made.kind = Match::Kind::refer;
    made.partner_owned = true;
    waiting.decided = true;
  }

  Offer offer(Waiting& waiting) {
    const auto& made = all_[waiting.at];
    Offer made_of{made.piece, {}};
    std::swap(ground_, waiting.ground);
    for (std::size_t stage = 0; stage < ground_.stages.size(); ++stage)
      made_of.stages.push_back(on_hand(ground_.stages[stage], accepted(made), made.piece));
    std::swap(ground_, waiting.ground);
    return made_of;
  }

  void settle_offer(const Together& found, const Offer& offer, Match& made) {
    const auto& accepts = accepted(made);
    if (found.stage) {
      take(*found.stage, found.items, made);
      return find_near(accepts, made);
    }
    if (leave_beside_none(made)) return;
    const auto some =
        std::find_if(offer.stages.begin(), offer.stages.end(), [](const auto& items) { return !items.empty(); });
    if (some != offer.stages.end()) {
      made.partners = partners(made.piece);
      for (std::size_t i = 0; i < some->size() && i < most_near; ++i)
        made.near.push_back({(*some)[i], goes_with_none((*some)[i])});
    }
    look_past_shelf(accepts, made);
    find_near(accepts, made);
  }

  // A partner that is not on the bill leaves the piece to the fitter; where that may yet come on it, so may this.
  bool leave_beside_none(Match& made) const {
    bool may_be = false;
    for (const auto partner : partners(made.piece)) {
      // What was given up has been so on this one's account.
      if (on_the_bill(partner) || (!made.suggested && is_given_up(partner))) continue;
      made.partners.push_back(partner);
      const auto* other = match_of(partner);
      if (!other || other->kind != Match::Kind::not_certain) continue;
      may_be = true;
      made.not_known.insert(made.not_known.end(), other->not_known.begin(), other->not_known.end());
    }
    tidy(made.not_known);
    if (made.partners.empty()) return false;
    made.kind = may_be ? Match::Kind::not_certain : Match::Kind::refer;
    return true;
  }

  // A suggested piece is on no bill, so the others do not wait for it: it goes with something of what they may be.
  void suggest(Match& made) {
    if (leave_beside_none(made)) return;
    const auto& accepts = accepted(made);
    for (std::size_t stage = 0; stage < ground_.stages.size(); ++stage) {
      auto items = on_hand(ground_.stages[stage], accepts, made.piece);
      for (const auto partner : partners(made.piece)) items = those_that_go(stock_, items, match_of(partner)->items);
      if (items.empty()) continue;
      take(stage, std::move(items), made);
      return find_near(accepts, made);
    }
    look_past_shelf(accepts, made);
    find_near(accepts, made);
  }

  const Engine& engine_;
  const compiler::Policy& policy_;
  const Player& player_;
  const Stock& stock_;
  const std::vector<Possible>& possible_;
  std::vector<TableId> of_property_, of_piece_;
  Holding holding_;
  Ground ground_;  // of the piece now matched
  std::vector<Match> all_;
  std::vector<Waiting> waiting_;
  std::vector<std::uint32_t> given_up_;  // pieces
};

}  // namespace

Applies applies(const Engine& engine, const Player& player, const std::optional<compiler::TableId>& line) {
  if (!line) return Applies::yes;
  bool some = false, others = false;
  for (const auto found : possible_answers(engine, *line, player).classes)
    (engine.outcome(*line, found).standing == Standing::spoken ? some : others) = true;
  return some && others ? Applies::not_certain : some ? Applies::yes : Applies::no;
}

std::vector<Match> match(const Engine& engine, const Player& player, const std::vector<Possible>& possible,
                         const Stock& stock, std::int64_t today) {
  return Matching(engine, player, possible, stock, today).run();
}

}  // namespace lacestay::runtime
