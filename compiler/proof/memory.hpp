// A cache of proof results for a long-running caller, such as an editor, keyed by everything the proof of a table
// reads.
//
// The key of a table is its rows with their edges as values (so that a new edge elsewhere changes nothing), who
// outranks whom, who has the piece, the claims about it, and the details it looks at. Rules are counted within the
// table. So editing one row of a large policy proves again just the properties that row speaks about. Only tables
// without players to show are kept: those with findings are few, and are proved again. Not for several threads.
#pragma once

#include <optional>
#include <string>
#include <unordered_map>
#include <vector>

#include "compiler/proof/proof.hpp"

namespace lacestay::compiler {

class ProofMemory {
 public:
  // How many tables the last proof took from memory, and how many it proved.
  std::size_t reused = 0, proved = 0;

  // The findings known for a key, with rules counted within the table; nothing where it is new.
  [[nodiscard]] const std::vector<Finding>* find(const std::string& key) const;
  // Kept only where no finding shows a player or a region.
  void keep(std::string key, const std::vector<Finding>& findings);
  // Forgets what the last proof did not use, so that memory does not grow with every edit.
  void begin();
  void end();

 private:
  struct Entry {
    std::vector<Finding> findings;
    mutable bool used = true;
  };
  std::unordered_map<std::string, Entry> entries_;
};

// All that the proof of one table looks at. `tables` are those of the proof; `claims` the boxes of the policy's claims
// over them; `rules` gets the table's rules in the order they are counted in.
[[nodiscard]] std::string proof_key(const Policy& policy, const Tables& tables, const Table& table,
                                    const std::vector<Box>& claims, std::vector<RuleId>& rules);

// The same as `prove`, remembering.
[[nodiscard]] Proof prove(const Policy& policy, ProofMemory& memory, const ProofBudget& budget = {});

}  // namespace lacestay::compiler
