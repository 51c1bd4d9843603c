#include "runtime/compare/html.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "compiler/values/names.hpp"
#include "runtime/advice/text.hpp"
#include "runtime/base/html_parts.hpp"
#include "runtime/compare/change_map.hpp"
#include "runtime/compare/changed_marks.hpp"
#include "runtime/compare/html_style.hpp"
#include "runtime/compare/text.hpp"

namespace lacestay::runtime {

using compiler::Side;
using compiler::Table;

namespace {

// More of the people than this are counted, not listed: a page is for reading.
constexpr std::size_t most_people = 40;

std::string count(std::size_t number, const char* one, const char* several) {
  return fmt::format("{} {}", number, number == 1 ? one : several);
}

std::string as_lines(const std::vector<std::string>& lines) {
  std::string out;
  for (const auto& line : lines) out += (out.empty() ? "" : "<br>") + escaped(line);
  return out;
}

class Page {
 public:
  Page(const Comparison& comparison, const compiler::Difference& difference)
      : comparison_(comparison), difference_(difference), marks_(changed_marks(difference)) {}

  std::string write() {
    const auto title = fmt::format("{}: edition {} beside edition {}", comparison_.later.policy,
                                   comparison_.earlier.edition, comparison_.later.edition);
    std::string body = element("header", "\n" + element("h1", escaped(title)) + editions() + summary());
    body += shut_out(shut_out_heading, comparison_.shut_out_now);
    body += shut_out(let_in_heading, comparison_.let_in_now);
    if (!comparison_.changes.empty()) {
      body += element("h2", "Who gets another answer");
      for (std::size_t i = 0; i < comparison_.changes.size(); ++i) body += change(i);
    }
    if (!comparison_.items.empty()) {
      body += element("h2", "What may be handed over");
      for (const auto& each : comparison_.items) body += items(each);
    }
    body += same();
    body += also("What is asked, and what the kit can be", comparison_.asked);
    body += also("Words that changed, with the same answers", comparison_.texts);
    body += also("What the policy is held to", comparison_.held_to);
    body += also("The shelf and the till", comparison_.shop);
    if (comparison_.people) body += people(*comparison_.people);
    return html_page(title, comparison_style, body);
  }

 private:
  std::string editions() const {
    const auto row = [](const char* when, const EditionLine& line) {
      return "<tr>" + head_cell(when, "row") +
             fmt::format("<td>{}, edition {}</td><td>{}</td><td>{}</td></tr>\n", escaped(line.policy), line.edition,
                         escaped(line.in_force), escaped(line.file));
    };
    return "<table class=\"editions\">\n<thead><tr>" + head_cell("When", "col") + head_cell("Edition", "col") +
           head_cell("In force", "col") + head_cell("File", "col") + "</tr></thead>\n<tbody>\n" +
           row("Before", comparison_.earlier) + row("Now", comparison_.later) + "</tbody>\n</table>\n";
  }

  std::string summary() const {
    std::string out;
    if (comparison_.apart)
      out = "No player can be advised under both editions.";
    else if (comparison_.changes.empty())
      out = nothing_changes(comparison_);
    else {
      std::vector<std::string> names;
      for (const auto& change : comparison_.changes) names.push_back(change.answer);
      out = fmt::format("{} for some players: {}.",
                        names.size() == 1 ? "1 answer changes" : fmt::format("{} answers change", names.size()),
                        compiler::listed(names));
      std::vector<std::string> pieces;
      for (const auto& each : comparison_.items) pieces.push_back(each.answer);
      if (!pieces.empty()) out += fmt::format(" Of {}, other items may be handed over.", compiler::listed(pieces));
    }
    if (const auto& people = comparison_.people) out += " " + counts_of(*people);
    return element("p", escaped(out), " class=\"summary\"");
  }

  // ---- one answer
  std::string change(std::size_t i) {
    const auto& lines = comparison_.changes[i];
    auto out = "<section>\n" + element("h3", escaped(lines.answer));
    for (std::size_t k = 0; k < lines.statements.size(); ++k) {
      out += statement(lines.statements[k]);
      out += map(lines, i, k);
    }
    return out + left_open(lines) + charts(difference_.changes[i].answer) + "</section>\n";
  }

  template <typename What>
  static std::string left_open(const ChangeLinesOf<What>& lines) {
    std::string out;
    if (lines.left_out > 0) out += element("p", fmt::format("{} smaller ones are left out.", lines.left_out));
    if (!lines.settled) out += element("p", not_settled(lines));
    return out;
  }

  template <typename What>
  static std::string who(const StatementLineOf<What>& line) {
    auto out = element("p", "For " + escaped(line.who), " class=\"who\"");
    for (const auto& but : line.but_not) out += element("p", "but not " + escaped(but), " class=\"but\"");
    return out;
  }

  // What its players are, of a statement with several changes, and one of them.
  static std::string head(const ChangedLine& line, bool several, std::size_t number) {
    std::string head;
    if (several || !line.where.empty()) {
      std::string where;
      for (const auto& each : line.where) where += (where.empty() ? "" : "; or ") + each;
      head = element("p",
                     escaped(fmt::format("{}{}", several ? fmt::format("{}: ", number + 1) : "",
                                         where.empty() ? "the others" : where)),
                     " class=\"answer\"");
    }
    std::vector<std::string> details;
    for (const auto& [name, value] : line.player) details.push_back(name + " " + value);
    head += escaped(!line.settled     ? "Whether there is such a player could not be settled."
                    : details.empty() ? "anybody"
                                      : compiler::listed(details));
    return head_cell(head, "row");
  }

  std::string items(const ItemsLines& lines) const {
    auto out = "<section>\n" + element("h3", escaped(lines.answer));
    for (const auto& line : lines.statements) {
      out += who(line) + "<table>\n<thead><tr>" + head_cell("For instance", "col") + head_cell("Items", "col") +
             "</tr></thead>\n<tbody>\n";
      for (std::size_t i = 0; i < line.becomes.size(); ++i)
        out += "<tr>" + head(line.becomes[i], line.becomes.size() > 1, i) + "<td>" +
               as_lines(sentences_of(line.becomes[i])) + "</td></tr>\n";
      out += "</tbody>\n</table>\n";
    }
    return out + left_open(lines) + "</section>\n";
  }

  std::string statement(const StatementLine& line) const {
    auto out = who(line);
    out += "<table class=\"becomes\">\n<thead><tr>" + head_cell("For instance", "col") + head_cell("Before", "col") +
           head_cell("Now", "col") + "</tr></thead>\n<tbody>\n";
    for (std::size_t i = 0; i < line.becomes.size(); ++i) out += becomes(line.becomes[i], line.becomes.size() > 1, i);
    return out + "</tbody>\n</table>\n";
  }

  std::string becomes(const BecomesLine& line, bool several, std::size_t number) const {
    return "<tr>" + head(line, several, number) + "<td>" + answer(line.before, line.why_before) + "</td><td>" +
           answer(line.after, line.why_after) + "</td></tr>\n";
  }

  static std::string answer(const std::string& says, const std::vector<Part>& why) {
    auto out = element("p", escaped(says), " class=\"answer\"");
    for (const auto& part : why) {
      std::string reason;
      if (part.says != says) reason = escaped(part.says) + ": ";
      reason += escaped(part.because);
      out += element("p",
                     reason + (part.because.empty() ? "" : "<br>") + "<span class=\"rule\">" +
                         escaped(text_of_rule(part)) + "</span>",
                     " class=\"why\"");
    }
    return out;
  }

  std::string map(const ChangeLines& lines, std::size_t i, std::size_t k) const {
    const auto drawn = map_of(difference_, difference_.changes[i].statements[k]);
    if (!drawn) return "";
    std::vector<std::string> says;
    for (const auto& each : lines.statements[k].becomes)
      says.push_back(fmt::format("{} becomes {}", each.before, each.after));
    auto caption = escaped(drawn->who.empty() ? "For every such player." : "For " + drawn->who + ".") + "\n<ol>\n";
    for (const auto& each : says) caption += element("li", escaped(each));
    return "<figure>\n" + svg_of(*drawn, fmt::format("map-{}-{}", i + 1, k + 1), lines.answer, says) +
           element("figcaption", caption + "</ol>\n") + "</figure>\n";
  }

  // ---- the later edition's charts
  std::string charts(const compiler::MatchedAnswer& answer) const {
    if (!answer.target.earlier || !answer.target.later || answer.kind == Table::Kind::caution) return "";
    const auto& policy = difference_.editions->edition(Side::later);
    const auto id = answer.table_in(policy.tables, Side::later);
    std::string out;
    for (const auto& table : wall_tables(policy, {}))
      if (table.id == id) out = chart(policy, table);
    return out;
  }

  std::string chart(const compiler::Policy& policy, const WallTable& table) const {
    auto out =
        element("h4", escaped(fmt::format("{} in edition {}; ▲ marks what changed", table.title, policy.edition)));
    std::string list;
    for (const auto& block : table.blocks) {
      const bool alone =
          std::all_of(block.lines.begin(), block.lines.end(), [](const auto& cells) { return cells.size() == 1; });
      if (!alone) {
        out += grid(table.id, block);
        continue;
      }
      for (const auto& cells : block.lines) list += marked("li", table.id, cells.front());
    }
    for (const auto& pair : table.outranks)
      list += item(fmt::format("{} outranks {}", policy.rules[pair.first].name, policy.rules[pair.second].name),
                   marks_.outranks(table.id, pair));
    for (const auto& line : marks_.below(table.id)) list += element("li", escaped(line), " class=\"changed\"");
    return out + (list.empty() ? "" : "<ul>\n" + list + "</ul>\n");
  }

  std::string grid(compiler::TableId id, const WallBlock& block) const {
    auto out = "<table class=\"chart\">\n" + element("caption", escaped(block.heading)) + "<thead><tr>";
    const auto& heads = block.lines.front();
    std::size_t widest = 0;
    for (const auto& cells : block.lines) widest = std::max(widest, cells.size());
    for (std::size_t i = 0; i < widest; ++i)
      out += head_cell(i < heads.size() && !heads[i].text.empty() ? escaped(heads[i].text) : "answer", "col");
    out += "</tr></thead>\n<tbody>\n";
    for (std::size_t i = 1; i < block.lines.size(); ++i) {
      out += "<tr>" + head_cell(escaped(block.lines[i].front().text), "row");
      for (std::size_t k = 1; k < widest; ++k)
        out += k < block.lines[i].size() ? marked("td", id, block.lines[i][k]) : std::string("<td></td>");
      out += "</tr>\n";
    }
    return out + "</tbody>\n</table>\n";
  }

  std::string marked(const char* name, compiler::TableId id, const WallCell& cell) const {
    const auto mark = marks_.field(id, cell.rows);
    return fmt::format("<{0}{1}>{2}{3}</{0}>", name, mark.empty() ? "" : " class=\"changed\"", escaped(cell.text),
                       mark.empty() ? "" : "<span class=\"was\">" + as_lines(mark) + "</span>");
  }
  static std::string item(const std::string& text, const std::string& mark) {
    return fmt::format("<li{}>{}{}</li>\n", mark.empty() ? "" : " class=\"changed\"", escaped(text),
                       mark.empty() ? "" : "<span class=\"was\">" + escaped(mark) + "</span>");
  }

  // ---- the rest
  std::string same() const {
    if (comparison_.same.empty() || comparison_.apart) return "";
    std::string out = element("h2", "No change for any player") + "<ul class=\"names\">\n";
    for (const auto& line : comparison_.same) out += element("li", escaped(text_of(line)));
    return out + "</ul>\n";
  }

  static std::string shut_out(const char* heading, const std::vector<ShutOutLine>& lines) {
    if (lines.empty()) return "";
    auto out = element("h2", heading) + "<table>\n<thead><tr>" + head_cell("Who", "col") +
               head_cell("For instance", "col") + head_cell("The line says", "col") + "</tr></thead>\n<tbody>\n";
    for (const auto& line : lines) {
      std::vector<std::string> details;
      for (const auto& [name, value] : line.player) details.push_back(name + " " + value);
      auto who = as_lines(line.who);
      if (!line.settled) who += (who.empty() ? "" : "<br>") + escaped(shut_out_not_settled);
      out += "<tr>" + head_cell(who, "row") +
             fmt::format("<td>{}</td><td>{}</td></tr>\n", escaped(compiler::listed(details)), escaped(line.sentence));
    }
    return out + "</tbody>\n</table>\n";
  }

  static std::string also(const char* heading, const std::vector<AlsoLine>& lines) {
    if (lines.empty()) return "";
    auto out = element("h2", heading) + "<table>\n<thead><tr>" + head_cell("About", "col") +
               head_cell("Before", "col") + head_cell("Now", "col") + "</tr></thead>\n<tbody>\n";
    for (const auto& line : lines)
      out += "<tr>" + head_cell(escaped(line.about), "row") +
             fmt::format("<td>{}</td><td>{}</td></tr>\n", line.before.empty() ? "not there" : escaped(line.before),
                         line.after.empty() ? "no longer there" : escaped(line.after));
    return out + "</tbody>\n</table>\n";
  }

  static std::string people(const PeopleLines& people) {
    auto out = element("h2", "People") + "<table>\n<thead><tr>" + head_cell("Answer", "col") +
               head_cell("How many get another", "col") + "</tr></thead>\n<tbody>\n";
    for (const auto& [answer, number] : people.by_answer)
      out += "<tr>" + head_cell(escaped(answer), "row") + fmt::format("<td>{}</td></tr>\n", number);
    out += "</tbody>\n</table>\n<table>\n<thead><tr>" + head_cell("Who", "col") +
           head_cell("What becomes what", "col") + "</tr></thead>\n<tbody>\n";
    for (std::size_t i = 0; i < people.changed.size() && i < most_people; ++i) {
      std::string lines;
      for (const auto& each : people.changed[i].answers)
        lines += (lines.empty() ? "" : "<br>") +
                 escaped(fmt::format("{}: {} becomes {}", each.answer, each.before, each.after));
      out += "<tr>" + head_cell(escaped(people.changed[i].name), "row") + "<td>" + lines + "</td></tr>\n";
    }
    out += "</tbody>\n</table>\n";
    if (people.changed.size() > most_people)
      out += element("p", fmt::format("And {} more; --json names them all.", people.changed.size() - most_people));
    if (!people.passed_over.empty()) out += element("p", escaped(passed_over_in(people)));
    if (!people.outside.empty())
      out += element("p", count(people.outside.size(), "person", "people") +
                              " can&#39;t be advised under both editions; --json says why.");
    return out;
  }

  const Comparison& comparison_;
  const compiler::Difference& difference_;
  WallMarks marks_;
};

}  // namespace

std::string page_of(const Comparison& comparison, const compiler::Difference& difference) {
  return Page(comparison, difference).write();
}

}  // namespace lacestay::runtime
