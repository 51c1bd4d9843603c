// lacestay compare
#include "runtime/command_line.hpp"
#include "runtime/comparison.hpp"
#include "runtime/comparison_text.hpp"

namespace lacestay::runtime {

int compare_command(const std::vector<std::string>& given) {
  const auto words = sort_words(given, {{"--json", false}});
  if (words.plain.size() != 2) throw Stop{not_understood, "Which two editions? Write: lacestay compare OLD NEW\n"};
  const auto earlier = unproved_engine_for(words.plain[0]), later = unproved_engine_for(words.plain[1]);
  const auto difference = compiler::differences(earlier->policy(), later->policy());
  auto comparison = comparison_of(*earlier, *later, difference);
  comparison.earlier.file = words.plain[0];
  comparison.later.file = words.plain[1];
  print(text_of(comparison));
  return comparison.any() ? not_so : all_well;
}

}  // namespace lacestay::runtime
