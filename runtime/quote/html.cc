#include "runtime/quote/html.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "compiler/values/names.hpp"
#include "grammar/text/letters.hpp"
#include "runtime/advice/html_foot.hpp"
#include "runtime/advice/text.hpp"
#include "runtime/advice/words.hpp"
#include "runtime/base/html_parts.hpp"
#include "runtime/quote/html_style.hpp"
#include "runtime/quote/text.hpp"

namespace lacestay::runtime {

using grammar::capital;

namespace {

std::string name_of(const QuotedItem& item) {
  return item.make + (item.make.empty() || item.model.empty() ? "" : " ") + item.model + (item.used ? ", used" : "");
}

// Names are written with low lines in a policy, and read with blanks at home, which no line is broken at; a code, such
// as iso_10256_2, in capitals.
std::string plain(const std::string& text) {
  std::string out;
  for (std::size_t at = 0; at < text.size();) {
    const auto end = std::min(text.find(' ', at), text.size());
    const auto word = text.substr(at, end - at);
    const bool named = word.find('_') != std::string::npos;
    const bool code = named && word.find_first_of("0123456789") != std::string::npos;
    for (const char c : word) {
      if (c == '_')
        out += "\u00A0";
      else
        out += code ? grammar::upper(c) : c;
    }
    if (end < text.size()) out += ' ';
    at = end + 1;
  }
  return out;
}

class Page {
 public:
  explicit Page(const Quote& quote) : quote_(quote) {}

  std::string write() {
    const auto body = heading() + notices() + kit() + plan() + not_quoted() + suggested() + cautions() + last();
    const auto* size = lines_ <= roomy_lines      ? " class=\"roomy\""
                       : lines_ <= middling_lines ? " class=\"middling\""
                                                  : "";
    return html_page(fmt::format("{}: quote of {}", quote_.policy, quote_.day), quote_style, body, size);
  }

 private:
  // How many lines of text still have room in each of the larger prints, and how many characters fit on a line; found
  // by printing. The lines every page has are not counted.
  static constexpr std::size_t roomy_lines = 43, middling_lines = 50;
  static constexpr std::size_t whole_width = 105, item_width = 48;

  void count_lines(std::string_view text, std::size_t width) { lines_ += text.size() / width + 1; }

  std::string money(std::int64_t sum) const { return escaped(money_text(quote_, sum)); }

  std::string less(std::int64_t sum) const { return "\u2212" + amount_text(quote_, sum); }

  // Deals are lettered, so that a line can say which of them reach it.
  static std::string letter(std::size_t deal) {
    constexpr std::size_t letters = 26;
    return std::string(deal / letters + 1, static_cast<char>('A' + deal % letters));
  }

  // ---- above the table
  std::string heading() const {
    return block("header", element("h1", escaped(quote_.policy)) +
                               element("p",
                                       fmt::format("For <span></span> Served by <span>{}</span> Date <span></span>",
                                                   escaped(quote_.served_by.value_or(""))),
                                       " class=\"by-hand\"") +
                               element("p",
                                       "<strong>Quote of " + escaped(quote_.day) + "</strong>, by edition " +
                                           fmt::format("{} of the shop&#39;s fitting policy.", quote_.edition),
                                       " class=\"edition\""));
  }

  // What must not be overlooked on the way to the total.
  std::string notices() {
    std::string out;
    const auto add = [&](const std::string& text) {
      count_lines(text, whole_width);
      out += element("p", text, " class=\"notice\"");
    };
    if (quote_.over_limit && !quote_.lines.empty())
      add(fmt::format("No such kit is within the limit of {}. This is the cheapest there is, {} over it.",
                      money(*quote_.limit), money(quote_.shortfall)));
    if (!quote_.not_quoted.empty()) {
      std::vector<std::string> names;
      for (const auto& open : quote_.not_quoted) names.push_back(open.label);
      add(escaped(fmt::format("Needed too, and not in this quote: {}.", compiler::listed(names))));
    }
    return out;
  }

  // ---- the kit
  std::string kit() {
    if (quote_.lines.empty()) return element("p", "There is nothing to quote from the shelf that day.");
    std::string out = "<section>\n<h2>The kit</h2>\n<table class=\"kit\">\n<thead>\n<tr>";
    for (const auto* head : {"Piece", "Make and model", "Item", "To plan for", "Deals"}) out += head_cell(head, "col");
    const auto in = quote_.currency.empty() ? "" : ", " + escaped(quote_.currency);
    out += sum_head("Price" + in) + "</tr>\n</thead>\n<tbody>\n";
    for (const auto& line : quote_.lines) out += line_row(line);
    return out + "</tbody>\n<tfoot>\n" + sums() + "</tfoot>\n</table>\n" + element("p", escaped(proof_text(quote_))) +
           "</section>\n";
  }

  static std::string sum_head(const std::string& text) { return "<th scope=\"col\" class=\"sum\">" + text + "</th>"; }

  std::string line_row(const QuoteLine& line) {
    std::vector<std::string> marks;
    for (const auto deal : line.deals) marks.push_back(letter(deal));
    const auto name = name_of(line.item), what = plain(line.item.what);
    auto says = "<strong>" + escaped(name) + "</strong>" + (name.empty() || what.empty() ? "" : ", ") + escaped(what);
    count_lines(name + what, item_width);
    if (!line.item.cut.empty()) {
      says += "<br>" + escaped(line.item.cut);
      count_lines(line.item.cut, item_width);
    }
    if (!line.accepted_for.empty()) {
      says += "<br>" + escaped("Accepted for: " + line.accepted_for);
      count_lines(line.accepted_for, item_width);
    }
    if (!line.open.empty()) {
      says += "<br><strong>" + escaped(capital(open_until(line.open))) + "</strong>";
      count_lines(open_until(line.open), item_width);
    }
    if (!line.goes_with.empty()) {
      says += "<br>" + escaped(capital(partners_text(line)));
      count_lines(partners_text(line), item_width);
    }
    for (const auto& each : line.unlike) {
      says += "<br>" + escaped(text_of(quote_, each));
      count_lines(text_of(quote_, each), item_width);
    }
    if (!line.instead.empty()) {
      says += "<br>" + instead(line);
      count_lines(line.instead, item_width);
    }
    if (!line.note.empty()) {
      says += "<br>" + escaped(line.note);
      count_lines(line.note, item_width);
    }
    return "<tr><th scope=\"row\"><span class=\"box\" aria-hidden=\"true\"></span>" + escaped(capital(line.label)) +
           "</th><td>" + says + "</td><td class=\"whole\">" + escaped(line.item.number) + "</td><td class=\"whole\">" +
           (line.plan ? escaped(money_text(quote_, *line.plan)) : "") + "</td><td class=\"whole\">" +
           fmt::format("{}", fmt::join(marks, ", ")) + "</td><td class=\"sum\">" +
           amount_text(quote_, line.item.price) + "</td></tr>\n";
  }

  // The policy's line reads "if none in stock, one step up in size".
  static std::string instead(const QuoteLine& line) {
    const auto comma = line.instead.find(',');
    const auto from = line.instead.find_first_not_of(" \t\r\n", comma == std::string::npos ? 0 : comma + 1);
    return escaped("Not in stock as advised; instead: " + line.instead.substr(std::min(from, line.instead.size())));
  }

  // As a bill: the price tags, what each deal takes off, the total, and how the limit stands to it.
  std::string sums() {
    std::string out;
    const auto row = [&](const std::string& head, const std::string& sum) {
      ++lines_;
      out += "<tr><th scope=\"row\" colspan=\"5\">" + head + "</th><td class=\"sum\">" + sum + "</td></tr>\n";
    };
    if (!quote_.deals.empty()) row("By the price tags", amount_text(quote_, quote_.list));
    for (std::size_t i = 0; i < quote_.deals.size(); ++i) {
      const auto& deal = quote_.deals[i];
      const auto make = deal.make.empty() ? "" : " (" + deal.make + ")";
      row("<strong>" + letter(i) + " \u00b7 " + escaped(deal.label) + "</strong>" +
              escaped(make + (deal.with.empty() ? "" : ", with " + compiler::listed(deal.with)) +
                      (deal.because.empty() ? "" : ": " + deal.because)),
          less(deal.off));
    }
    ++lines_;
    const bool planned =
        std::any_of(quote_.lines.begin(), quote_.lines.end(), [](const auto& line) { return line.plan.has_value(); });
    std::string beside;
    if (quote_.saved > 0) beside += " " + money(quote_.saved) + " saved.";
    if (planned) beside += " Sum to plan for: " + escaped(money_text(quote_, quote_.plan)) + ".";
    out += "<tr class=\"total\"><th scope=\"row\" colspan=\"4\"><strong>Total</strong>" + beside +
           "</th><td class=\"sum\" colspan=\"2\"><strong>" + money(quote_.total) + "</strong></td></tr>\n";
    if (quote_.limit) {
      row("Your limit", amount_text(quote_, *quote_.limit));
      if (quote_.over_limit)
        row("<strong>Over it by</strong>", "<strong>" + amount_text(quote_, quote_.shortfall) + "</strong>");
      else
        row("Left of it", amount_text(quote_, *quote_.limit - quote_.total));
    }
    return out;
  }

  // ---- over the limit
  std::string plan() {
    if (!quote_.over_limit || quote_.lines.empty()) return "";
    std::string out;
    if (!quote_.over.empty()) {
      out = "<table class=\"plan\">\n<thead>\n<tr>" + head_cell("One after the other", "col") +
            sum_head("All together then") + "</tr>\n</thead>\n<tbody>\n";
      for (const auto& step : quote_.over) {
        auto what = capital(text_of(quote_, step));
        if (!step.left_to_fitter.empty()) what += "; " + left_text(step);
        if (!step.other_items.empty()) what += "; chosen anew: " + other_items_text(quote_, step);
        count_lines(what, whole_width);
        out += "<tr>" + head_cell(escaped(what), "row") + "<td class=\"sum\">" + money(step.total) + "</td></tr>\n";
      }
      out += "</tbody>\n</table>\n";
    }
    const auto missing = (quote_.over.empty() ? quote_.total : quote_.total_after_plan) - *quote_.limit;
    out += element("p", missing <= 0 ? fmt::format("Then {} of the limit is left.", money(-missing))
                                     : fmt::format("<strong>{} is still missing.</strong> What protects a player is "
                                                   "not bought used, hired or put off.",
                                                   money(missing)));
    return section("To come within the limit", out);
  }

  // ---- what is not in it
  std::string not_quoted() {
    std::string items;
    for (const auto& open : quote_.not_quoted)
      items += entry(open.label, fmt::format("{}{}", plain(why_text(open)),
                                             open.plan ? "; to plan for: " + money_text(quote_, *open.plan) : ""));
    return items.empty() ? "" : section("Needed too, and not in this quote", block("ul", items));
  }

  std::string suggested() {
    std::string items;
    for (const auto& line : quote_.worth_adding)
      items +=
          entry(line.label, fmt::format("{}{}{} ({}), {}", name_of(line.item), line.item.what.empty() ? "" : ", ",
                                        plain(line.item.what), line.item.number, money_text(quote_, line.item.price)));
    return items.empty() ? "" : section("Worth having too, and not in the total", block("ul", items));
  }

  std::string cautions() {
    std::string items;
    for (const auto& caution : quote_.cautions) {
      count_lines(caution, whole_width);
      items += element("li", escaped(caution));
    }
    return items.empty() ? "" : section("Keep in mind", block("ul", items));
  }

  std::string last() const {
    return element("p", "<strong>" + escaped(standing_caution) + "</strong>", " class=\"last\"") +
           beside(quote_.handed_over, quote_.entry);
  }

  // ---- what they are put together from
  std::string section(const char* heading, const std::string& content) {
    lines_ += 2;  // a heading with its room
    return block("section", element("h2", heading) + content);
  }

  std::string entry(const std::string& label, const std::string& text) {
    count_lines(label + text, whole_width);
    return element("li", "<strong>" + escaped(capital(label)) + ":</strong> " + escaped(text));
  }

  const Quote& quote_;
  std::size_t lines_ = 0;
};

}  // namespace

std::string page_of(const Quote& quote) { return Page(quote).write(); }

}  // namespace lacestay::runtime
