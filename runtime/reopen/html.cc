#include "runtime/advice/html.hpp"

#include "compiler/values/names.hpp"
#include "runtime/advice/html_foot.hpp"
#include "runtime/advice/html_style.hpp"
#include "runtime/advice/text.hpp"
#include "runtime/base/html_parts.hpp"
#include "runtime/quote/html.hpp"
#include "runtime/reopen/reopened.hpp"

namespace lacestay::runtime {

namespace {

std::string row(const std::string& head, const std::string& content) {
  return "<tr>" + head_cell(escaped(head), "row") + "<td>" + content + "</td></tr>\n";
}

std::string table(const char* heading, const std::string& rows) {
  return block("section", element("h2", heading) + block("table", block("tbody", rows)));
}

// What stands in the entry, of an advice or a quote that can't be worked out again.
std::string page_as_recorded(const Reopened& opened) {
  const auto& kept = *opened.kept;
  const auto day = compiler::show(kept.day, compiler::Dimension::day, {});
  const auto title = fmt::format("{} of {}", kept.quote ? "Quote" : "Advice", day);
  auto body = block("header", element("h1", escaped(title))) +
              element("p", escaped(why_as_recorded(opened)), " class=\"notice\"");
  std::string player, items, answers;
  for (const auto& detail : kept.details) player += row(detail.name, escaped(detail.text));
  if (!kept.owns.empty()) player += row("owns", escaped(compiler::listed(kept.owns)));
  body += table("Who it is for", player);
  if (kept.quote) {
    const auto& quote = *kept.quote;
    for (const auto& line : quote.lines)
      items += row(line.piece, escaped(fmt::format("{}, {}", line.item, in_money(line.price, quote.currency))));
    items += row("total", escaped(in_money(quote.total, quote.currency)));
    if (quote.limit) items += row("limit", escaped(in_money(*quote.limit, quote.currency)));
    body += table("Quoted", items);
  }
  for (const auto& answer : kept.answers) {
    auto says = "<strong>" + escaped(compiler::listed(answer.possible, "or")) + "</strong>";
    for (const auto& reason : reasons_on_record(answer)) says += "<br>" + escaped(reason);
    answers += row(answer.about, says);
  }
  body += table("Advised", answers) + element("p", escaped(standing_caution), " class=\"last\"") +
          beside(opened.instead, EntryReference{opened.entry.number, opened.entry.hash});
  return html_page(title, page_style, body);
}

}  // namespace

std::optional<std::string> page_of(const Reopened& opened) {
  if (opened.as_recorded()) return page_as_recorded(opened);
  if (!opened.again) return std::nullopt;
  return opened.again->quote ? page_of(*opened.again->quote) : page_of(opened.again->advice);
}

}  // namespace lacestay::runtime
