#include "runtime/advice/html_foot.hpp"

#include "runtime/advice/text.hpp"
#include "runtime/base/html_parts.hpp"

namespace lacestay::runtime {

std::string beside(const std::vector<HandedOver>& handed_over, const std::optional<EntryReference>& entry) {
  std::string items;
  for (const auto& each : handed_over) {
    auto says = escaped(text_of(each));
    for (const auto& [heading, text] : warnings_of(each))
      says += fmt::format("<br><strong>{}:</strong> {}", heading, escaped(text));
    items += element("li", says);
  }
  std::string out;
  if (!items.empty())
    out += block("section", element("h2", "Handed over otherwise") + block("ul", items), " class=\"otherwise\"");
  return entry ? out + element("p", escaped(entry_text(*entry)), " class=\"entry\"") : out;
}

}  // namespace lacestay::runtime
