// One run of the proof: its state, shared by the passes. Inner to compiler/.
#pragma once

#include "compiler/law/regions.hpp"
#include "compiler/proof/memory.hpp"
#include "compiler/proof/proof.hpp"
#include "compiler/space/trend.hpp"

namespace lacestay::compiler {

class Prover {
 public:
  // `memory` may be absent.
  Prover(const Policy& policy, const ProofBudget& budget, ProofMemory* memory);

  // The passes, in order; each adds findings.
  bool somebody_is_left();  // false where no player can be, which is the one finding then
  void prove_tables();      // gaps, clashes, claims; and what each row, floor, cap and outranks decides
  void settle_idle_outranks();
  void find_lines_that_meet();
  void find_unmet_rules();  // rules and rows that lowering left out, since no player meets them
  void find_idle_details();
  void find_pieces_not_accepted();
  void find_lines_that_shut_out_nobody();

  [[nodiscard]] Proof take();

 private:
  using Set = Regions::Set;

  // prover.cc
  void prove_table(TableId id);
  void prove_or_remember(TableId id);
  void remarks(Regions& who, bool refused);
  void gaps(Regions& who);
  void without_base(Regions& who);
  // Adds the finding with a player from the set, largest box first; up to `most` findings for as many boxes.
  bool report(Regions& who, Finding finding, Set set, std::size_t most = 1);
  // A set in boxes that lie apart, as far as the budget goes; `past` more are not among them.
  struct Parts {
    std::vector<Box> boxes;
    std::size_t past = 0;
  };
  Parts parts_of(Regions& who, Set set) const;
  // The same of boxes. Where one finding is made, `rest` gets the boxes beside its own that may have a player.
  bool report(Finding finding, Parts parts, std::size_t most, Parts* rest = nullptr);
  void add(Finding finding);
  void add_not_settled(const Table& table);
  // True where a player exists in the set (or it could not be settled).
  bool somebody(Regions& who, Set set);

  // clashes.cc
  void clashing_bases(Regions& who);
  void clashing_limits(Regions& who);  // and needs against omits
  Parts clash_in_parts(Regions& who, const Regions::Opposed& pair);
  // A finding and what it leaves to tell; nothing where nobody clashes, or where it is only counted.
  struct ToldClash {
    std::size_t finding;
    Parts rest;
  };
  std::optional<ToldClash> clashing_pair(Regions& who, const Regions::Opposed& pair);
  void add_rest(ToldClash& told, Parts parts) const;
  void tell_rest(ToldClash told);
  std::optional<ToldClash> clashing(Finding finding, Parts parts);
  void emptied_choice(Regions& who);
  [[nodiscard]] std::vector<std::uint32_t> emptying_rows(const Table& table, const Box& box) const;

  // remarks.cc
  void idle_rows(Regions& who, bool refused);
  void idle_outranks(Regions& who);
  void unreached(Regions& who);
  void add_handed_over(std::uint32_t property, std::vector<bool>& reached) const;

  // shop_lines.cc
  struct ShopLines {
    TableId about = 0;
    std::vector<std::optional<TableId>> players;  // line by line
  };
  void lines_that_meet(const ShopLines& lines);

  // sures.cc
  void claims(Regions& who, bool refused);
  void presence_claim(Regions& who, std::size_t sure);
  bool bound_claim(Regions& who, std::size_t sure, Set when);  // true where it is refuted, or not settled
  void moving_claim(Regions& who, std::size_t sure, Set when);
  [[nodiscard]] Set closure_along(Regions& who, Set set, std::uint16_t detail, Diagrams::Towards where);
  // shelf_claims.cc
  void shelf_claim(Regions& who, std::size_t sure, Set when);

  // Of the asked details, those that players may differ in who are compared: all but what rises and what decides who
  // gets which answer, so far as it matters whether there is such a player.
  [[nodiscard]] std::vector<std::uint16_t> free_in(const Regions& who, std::size_t sure) const;
  // Some two players could be compared, were nobody shut out, and none can be as it is.
  [[nodiscard]] bool no_pair_left(Regions& who, Set when, std::size_t sure, const std::vector<std::uint16_t>& free);
  bool report_pair(Regions& who, std::size_t sure, Set earlier, Set later, const std::vector<std::uint16_t>& free,
                   std::optional<Finding>& unsettled);

  const Policy& policy_;
  const ProofBudget& budget_;
  ProofMemory* memory_;
  Proof proof_;
  std::vector<std::vector<Trend>> trends_;
  std::vector<Box> sure_boxes_;  // over proof_.tables
  Witnesses witnesses_;
  Reach reach_;
  TableId now_ = 0;
  std::map<std::pair<TableId, Finding::Kind>, std::size_t> shown_;
};

}  // namespace lacestay::compiler
