#include "runtime/command/commands.hpp"

namespace lacestay::runtime {

const Commands& commands() {
  static const Commands all = {&advise_command(),  &inspect_command(), &chart_command(), &rehearse_command(),
                               &compare_command(), &quote_command(),   &reopen_command()};
  return all;
}

Word policy_word() { return {"POLICY", Takes::file, "the shop's policy, or one kept with inspect --seal"}; }

}  // namespace lacestay::runtime
