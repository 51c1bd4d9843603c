#include "grammar/read/reader.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>

#include "grammar/read/build.hpp"
#include "grammar/read/nearly_right.hpp"
#include "grammar/read/unread_units.hpp"
#include "grammar/text/letters.hpp"

namespace lacestay::grammar {
namespace {

namespace line = rules::line;

bool in_word(char c) { return is_letter(c) || is_digit(c) || c == '_' || (static_cast<unsigned char>(c) & 0x80) != 0; }
bool is_blank(char c) { return c == ' ' || c == '\t' || c == '\n' || c == '\r'; }

// From the byte where reading stopped to the end of the word that stands there.
Span unread_span(const Source& source, std::uint32_t byte, std::uint32_t line_end) {
  const auto text = source.text();
  std::uint32_t end = byte;
  while (end < line_end && !is_blank(text[end]) && text[end] != ',') ++end;
  return {&source, byte, std::max(end, std::min(byte + 1, line_end))};
}

const ToldBetter* better_for(std::string_view code, std::string_view text) {
  for (const auto& each : told_better) {
    if (each.code != code) continue;
    const auto size = each.begins.size();
    const bool any_digit = each.begins == "9" && !text.empty() && is_digit(text.front());
    const bool there = text.substr(0, size) == each.begins;
    const bool whole = !is_letter(each.begins.front()) || size >= text.size() || !in_word(text[size]);
    if (any_digit || (there && whole)) return &each;
  }
  return nullptr;
}

// Whether a quote is left over: a text with a quote inside ends at it, and its closing quote remains.
bool odd_quotes(std::string_view text) {
  std::size_t quotes = 0;
  for (const std::string_view quote : {"\"", "“", "”", "„", "‟", "″"})
    for (auto at = text.find(quote); at != std::string_view::npos; at = text.find(quote, at + quote.size())) ++quotes;
  return quotes % 2 == 1;
}

// Two words where one name is expected: `kit bag` in `piece kit bag always`.
struct SecondWord {
  std::string both;         // joined with a blank
  std::uint32_t begin = 0;  // of the second
};

std::optional<SecondWord> second_word(std::string_view text, LineKind kind, const Line& line) {
  std::uint32_t at = line.begin;
  const auto next = [&] {
    const auto begin = at;
    while (at < line.end && in_word(text[at])) ++at;
    const auto word = text.substr(begin, at - begin);
    while (at < line.end && (text[at] == ' ' || text[at] == '\t')) ++at;
    return word;
  };
  if (kind == LineKind::item) {
    const auto opens = next();
    if (opens == "work")
      next();  // work out
    else if (opens != "ask" && opens != "piece" && opens != "group" && opens != "chart" && opens != "rule")
      return std::nullopt;
  } else if (kind != LineKind::property) {
    return std::nullopt;
  }
  SecondWord found;
  const auto first = next();
  found.begin = at;
  const auto second = next();
  if (first.empty() || second.empty() || !is_letter(second.front())) return std::nullopt;
  found.both = std::string(first) + " " + std::string(second);
  return found;
}

// A number is followed by a word that is no unit. Whether it was meant for one, or for what comes after a comma, the
// text does not show.
std::optional<ToldAs> unknown_unit(const Source& source, std::size_t line_begin, std::size_t at) {
  const auto text = source.text();
  const auto before = without_last_blanks(text.substr(line_begin, at - line_begin)), rest = text.substr(at);
  const auto word = first_word(rest);
  if (before.empty() || !is_digit(before.back()) || word.empty() || !is_letter(word.front())) return std::nullopt;
  for (const std::string_view of_the_language : {"and", "or", "for", "to", "step", "rounded", "whole", "is"})
    if (word == of_the_language) return std::nullopt;
  return ToldAs{fmt::format("After this number stands '{}', which is no unit.", word),
                unit_to_write(text, at, word, source.is_sheet())};
}

// After a comma a relation stands alone: the condition before it named the detail, and each names its own.
std::optional<ToldAs> detail_left_out(std::string_view before, std::string_view rest) {
  auto line = before;
  static constexpr std::string_view relations[] = {"under", "over", "before", "since", "at least", "at most"};
  const auto begins_with = [](std::string_view text, std::string_view words) {
    return text.substr(0, words.size()) == words && (text.size() == words.size() || !in_word(text[words.size()]));
  };
  const auto found = std::find_if(std::begin(relations), std::end(relations),
                                  [&](std::string_view each) { return begins_with(rest, each); });
  before = without_last_blanks(before);
  if (found == std::end(relations) || before.empty() || before.back() != ',') return std::nullopt;
  before.remove_suffix(1);
  if (const auto comma = before.rfind(','); comma != std::string_view::npos) before.remove_prefix(comma + 1);
  // What stands before the relation, from the last word that begins conditions on.
  std::string_view detail;
  for (const auto relation : relations)
    if (const auto at = before.find(' ' + std::string(relation) + ' '); at != std::string_view::npos)
      detail = without_last_blanks(before.substr(0, at));
  if (const auto at = detail.rfind("for "); at != std::string_view::npos) detail.remove_prefix(at + 4);
  while (!detail.empty() && is_blank(detail.front())) detail.remove_prefix(1);
  if (detail.empty()) return std::nullopt;
  const auto condition = without_last_blanks(rest.substr(0, rest.find(',')));
  return ToldAs{fmt::format("Each condition names its detail: '{}' does not say of what.", condition),
                line.find('\n') == line.npos
                    ? fmt::format("if it is {} again, write {}{} {}", detail, line, detail, without_last_blanks(rest))
                    : fmt::format("if it is {} again, write {} {}", detail, detail, condition)};
}

// Whom a line of the shop is for, and what an item must be, as they are written nearly right.
std::optional<ToldAs> of_the_shop(LineKind kind, std::string_view line, std::string_view before,
                                  std::string_view rest) {
  if (rest.empty()) return std::nullopt;
  const auto word = first_word(rest);
  if (kind == LineKind::accept && word == "for")
    return ToldAs{"Whom it is for stands at the end of the accept line itself, and is so of all that stands below it.",
                  "write two accept lines, each with for at its end: one for these players, with this line below it, "
                  "and one for the others"};
  before = without_last_blanks(before);
  const bool for_some = before.find(" for ") != std::string_view::npos;
  if (kind == LineKind::plan && word == "for" && for_some)
    return ToldAs{"What it costs stands before whom it is for.",
                  "write it as in: hire boots for 45 GBP for age under 12"};
  if (kind == LineKind::property && line.rfind("goes with ", 0) == 0)
    return ToldAs{"Which piece it goes with is said on a line of its own, which begins at the very left.",
                  "write it as in: face_protection goes with helmet"};
  if (kind != LineKind::item) return std::nullopt;
  const auto item = first_word(line);
  const auto says = [&](std::string_view words) { return line.find(words) != std::string_view::npos; };
  if (says(" goes with ") && rest.front() == ',')
    return ToldAs{"One line names one piece that it goes with.", "write a line for each of them"};
  if (says(" go together") || says(" goes together") || says(" go with "))
    return ToldAs{"Which pieces go together is said of one of them and the other.",
                  "write it as in: face_protection goes with helmet"};
  if (item == "over" && word == "for")
    return ToldAs{"Whom it is for stands at the end of a line below.",
                  "write it as in: put off kit_bag for age under 12"};
  if (item == "deal" && for_some && rest.front() == '"')
    return ToldAs{"What a deal is called stands before whom it is for.",
                  "write it as in: deal junior \"Under sixteen\" for age under 16"};
  if (item != "accept") return std::nullopt;
  if ((word == "or" || word == "and" || rest.front() == '/') && (before.ends_with("new") || before.ends_with("used")))
    return ToldAs{"New and used goods are accepted alike by one phrase.", "write condition new or used"};
  if (word == "or")
    return for_some ? ToldAs{"Here or joins nothing: it stands only between members of one detail.",
                             "write an accept line for each of the two, so that no player is meant by both"}
                    : ToldAs{"Here or joins nothing: all that stands before for must be so of an item.",
                             "keep one of the two"};
  if (word == "for")
    return ToldAs{"Whom the line is for stands at its end, behind what an item must be, and no comma parts the two.",
                  "write it as in: accept helmet with size as advised, condition new for skill league"};
  if (for_some && (word == "as" || word == "at" || word == "within"))
    return ToldAs{"What an item must be stands before for, and after it who the line is for.",
                  "write it as in: accept helmet with size as advised, condition new for skill league"};
  return std::nullopt;
}

// A deal's `for` that speaks of the bill.
std::optional<ToldAs> of_the_bill(std::string_view line) {
  for (const std::string_view word : {" bill", " bills", " total"})
    if (line.find(word) != std::string_view::npos) return ToldAs{no_bills, kit_deals};
  return std::nullopt;
}

std::string with_underscore(std::string words) {
  for (char& c : words)
    if (c == ' ') c = '_';
  return words;
}

class FileReader {
 public:
  FileReader(File& file, const Source& source, Diagnostics& diagnostics)
      : file_(file), source_(source), diagnostics_(diagnostics), builder_(source_, diagnostics) {}

  void run() {
    const auto layout = read_layout(source_);
    for (const auto& comment : layout.comments)
      file_.comments.push_back({{&source_, comment.begin, comment.end}, comment.own_line});
    for (const auto& line : layout.lines) line.indented ? indented(line) : opens_item(line);
    if (layout.lines.empty())
      diagnostics_.add("file-1", {&source_, 0, 0}, "The file says nothing: it holds no line but blanks and comments.",
                       "begin it with policy, part, pack or players of, as in: policy \"Rink shop, starter kit\"");
  }

  std::unique_ptr<Node> parsed_or_told(LineKind kind, const Line& line) {
    auto parsed = parse(kind, line.begin, line.end);
    if (!parsed.root) tell(parsed.unread, kind, line);
    return std::move(parsed.root);
  }

 private:
  [[nodiscard]] Span span(const Line& line) const { return {&source_, line.begin, line.end}; }

  // A line's node, or where parsing stopped.
  struct Parsed {
    std::unique_ptr<Node> root;
    Unread unread{};
  };
  [[nodiscard]] Parsed parse(LineKind kind, std::uint32_t begin, std::uint32_t end) const {
    try {
      return {parse_line(kind, source_, begin, end)};
    } catch (const Unread& unread) {
      return {nullptr, unread};
    }
  }

  // Reports a line that can't be parsed: the commit point's message, or a more specific one for the text found there.
  void tell(const Unread& unread, LineKind kind, const Line& line) {
    const auto text = source_.text();
    const auto rest = text.substr(unread.byte, line.end - unread.byte);
    const std::string_view code = unread.wanted.code;
    auto place = unread_span(source_, unread.byte, line.end);
    std::string message = unread.wanted.message, hint = unread.wanted.hint;
    const auto before = text.substr(line.begin, unread.byte - line.begin);
    // Where many lines are wrong, the whole text is not looked through for each.
    constexpr std::size_t most_looked_through = 50;
    const bool unit_due = (code == "reading-3" || code == "reading-22" || code == "reading-36") &&
                          diagnostics_.size() < most_looked_through;
    auto of_text = code == "reading-3" || code == "reading-4" || code == "reading-6" || code == "reading-29" ||
                           code == "reading-30"
                       ? of_the_shop(kind, text.substr(line.begin, line.end - line.begin), before, rest)
                       : std::nullopt;
    if (!of_text && diagnostics_.size() < most_looked_through)
      of_text = nearly_right({kind, code, text, text.substr(line.begin, line.end - line.begin), before, rest});
    if (!of_text)
      of_text = unit_due               ? unknown_unit(source_, line.begin, unread.byte)
                : code == "reading-16" ? detail_left_out(before, rest)
                : code == "reading-32" ? of_the_bill(text.substr(line.begin, line.end - line.begin))
                                       : std::nullopt;
    if (of_text) {
      message = of_text->message;
      hint = of_text->hint;
      if (of_text->skipped != 0)
        place = unread_span(source_, unread.byte + static_cast<std::uint32_t>(of_text->skipped), line.end);
    } else if (const auto* better = better_for(code, rest)) {
      if (better->message) message = better->message;
      hint = better->hint;
    } else if (code == "reading-3" && odd_quotes(rest)) {
      message = "The text before this ended at a quote inside it.";
      hint = "leave quotes out of a text, and write inches as in: 12 in";
    } else if (const auto name = second_word(text, kind, line)) {
      const bool of_domain =
          message == wanted<line::ask_domain>.message || message == wanted<line::property_domain>.message;
      if (of_domain && unread.byte != name->begin) place = unread_span(source_, name->begin, line.end);
      const auto first = name->both.substr(0, name->both.find(' '));
      if (of_domain && (first == "grades" || first == "choice" || first == "band"))
        hint = "begin with the name, as in: size grades small, large";
      else if (of_domain || unread.byte == name->begin)
        hint += fmt::format("; or, if the name is '{}', write {}", name->both, with_underscore(name->both));
    }
    if (code == "limits-1" && unread.byte > line.begin && text[unread.byte - 1] == '(')
      place = {&source_, unread.byte - 1, unread.byte};
    auto twice = code == "reading-3" ? written_twice(line, unread.byte) : std::string();
    if (!twice.empty())
      hint = "put a comma in place of or, if both must be so; or, if one of them is enough, write the rule twice";
    auto& told = diagnostics_.add(unread.wanted.code, place, std::move(message), std::move(hint));
    told.ready_text = std::move(twice);
    // Where the line continues the one before it, the comma that joined them may be the mistake.
    const auto end = line.begin + static_cast<std::uint32_t>(without_last_blanks(before).size());
    const bool on_a_new_line = text.substr(end, unread.byte - end).find_first_of("\r\n") != std::string_view::npos;
    if (on_a_new_line && end > line.begin && text[end - 1] == ',') {
      told.notes.push_back({"the comma that makes the line before go on", {&source_, end - 1, end}});
      if (told.hint.find("comma out") == std::string::npos) told.hint += "; or take that comma out";
    }
  }

  // The rule whose `for` line has an `or` between two conditions there, once for each of them; empty elsewhere.
  [[nodiscard]] std::string written_twice(const Line& line, std::uint32_t at) const {
    const auto text = source_.text();
    const auto condition = text.substr(line.begin, line.end - line.begin);
    const auto* rule = open_ ? std::get_if<Rule>(&file_.items.back().form) : nullptr;
    const auto rest = text.substr(at, line.end - at);
    if (!rule || condition.substr(0, 4) != "for " || rest.substr(0, 3) != "or ") return "";
    // What stands before a comma, or behind one, is so of both.
    const auto before = without_last_blanks(text.substr(line.begin, at - line.begin));
    const auto comma = before.rfind(',');
    const auto shared = comma == std::string_view::npos ? condition.substr(0, 4) : before.substr(0, comma + 2);
    const auto behind = rest.find(',');
    const auto more = behind == std::string_view::npos ? std::string_view() : rest.substr(behind);
    const auto first = std::string(before) + std::string(more);
    const auto second = std::string(shared) + std::string(rest.substr(3));
    const auto begin = file_.items.back().head.begin;
    auto end = text.find('\n', line.end);
    while (end != std::string_view::npos && end + 1 < text.size() && text[end + 1] == ' ')
      end = text.find('\n', end + 1);
    const auto whole = text.substr(begin, std::min(end, text.size()) - begin);
    const auto with = [&](const std::string& name, const std::string& when) {
      auto made = std::string(whole);
      made.replace(line.begin - begin, condition.size(), when);
      return made.replace(rule->name.span.begin - begin, rule->name.span.end - rule->name.span.begin, name) + "\n";
    };
    return with(rule->name.text, first) + with(rule->name.text + "_too", second);
  }

  void opens_item(const Line& line) {
    auto parsed = parse(LineKind::item, line.begin, line.end);
    if (parsed.root) return open(*parsed.root, line);
    if (parsed.unread.byte == line.begin && left_by_accident(line)) return;
    open_ = false;
    tell(parsed.unread, LineKind::item, line);
  }

  void open(const Node& root, const Line& line) {
    file_.items.push_back(builder_.item(root));
    file_.items.back().span = file_.items.back().head = span(line);
    open_ = true;
    left_told_ = false;
  }

  // A line without indentation that belongs to the item above: reports that, once for an item, and reads it as meant.
  bool left_by_accident(const Line& line) {
    const auto kind = due();
    if (!kind) return false;
    const auto parsed = parse(*kind, line.begin, line.end);
    if (!parsed.root) return false;
    const auto& content = *parsed.root->children.front();
    if (content.is<line::bare_row>() || content.is<line::reading>()) return false;  // any words make one of these
    if (!left_told_)
      diagnostics_
          .add("layout-4", span(line), "This line stands at the very left, but it belongs to the item above.",
               "indent it, and the lines after it that belong to the same item")
          .notes.push_back({"the item above", file_.items.back().head});
    left_told_ = true;
    add(*parsed.root, line);
    return true;
  }

  // A line that opens an item but is indented: reports that, and opens the item, so that the lines under it are read.
  // `under` is how far it could be parsed as a line of the item above.
  bool indented_by_accident(const Line& line, std::uint32_t under) {
    if (!begins_with_opening_word(source_, line.begin, line.end)) return false;
    const auto parsed = parse(LineKind::item, line.begin, line.end);
    if (!parsed.root && parsed.unread.byte <= under) return false;
    diagnostics_.add("layout-1", span(line),
                     file_.items.empty()
                         ? "This line opens an item, but it is indented."
                         : "This line opens an item, but it is indented, so it would belong to the item above.",
                     "move it to the very left");
    if (parsed.root) {
      open(*parsed.root, line);
    } else {
      open_ = false;
      tell(parsed.unread, LineKind::item, line);
    }
    return true;
  }

  void indented(const Line& line) {
    const auto kind = due();
    if (kind) {
      if (split_at_slip(*kind, line)) return;
      const auto parsed = parse(*kind, line.begin, line.end);
      if (parsed.root) return add(*parsed.root, line);
      if (!indented_by_accident(line, parsed.unread.byte)) tell(parsed.unread, *kind, line);
      return;
    }
    if (indented_by_accident(line, open_ ? line.begin : line.end)) return;
    if (file_.items.empty() && open_)
      diagnostics_.add("layout-2", span(line), "This line is indented, but no item stands above it.",
                       "put it under the piece, chart or rule it belongs to");
    else if (open_)
      diagnostics_
          .add("layout-3", span(line), "Nothing stands under the item above, yet this line is indented.",
               "write it on the line above, or put it under the piece, chart or rule it belongs to")
          .notes.push_back({"the item above", file_.items.back().head});
    // Under an item whose first line could not be parsed, lines are skipped: that line's message is enough.
  }

  // A line joined to one that ends in a comma, yet complete by itself: the comma was a mistake. Reports that, and reads
  // the two separately. Only the last of the joined lines can be complete, since the others end in commas.
  bool split_at_slip(LineKind kind, const Line& line) {
    const auto text = source_.text().substr(0, line.end);
    const auto at = text.find_last_of("\r\n");
    if (at == std::string_view::npos || at < line.begin) return false;
    const auto begin = static_cast<std::uint32_t>(text.find_first_not_of(" \t", at + 1));
    auto before = text.substr(line.begin, at - line.begin);
    before.remove_prefix(std::min(before.find_last_of("\r\n") + 1, before.size()));
    before = before.substr(0, before.find('#'));
    while (!before.empty() && is_blank(before.back())) before.remove_suffix(1);
    if (before.empty() || before.back() != ',') return false;
    const auto parsed = parse(kind, begin, line.end);
    if (!parsed.root || parsed.root->children.front()->is<line::bare_row>()) return false;
    const auto comma = static_cast<std::uint32_t>(&before.back() - text.data());
    diagnostics_
        .add("reading-28", {&source_, comma, comma + 1},
             "This comma makes its line go on in the next one, which is whole by itself.", "take the comma out")
        .notes.push_back({"the next line", {&source_, begin, line.end}});
    indented({line.begin, comma, true});
    indented({begin, line.end, true});
    return true;
  }

  // The kind of line expected under the item above; nothing where it takes none, or it could not be parsed.
  [[nodiscard]] std::optional<LineKind> due() const {
    return file_.items.empty() || !open_ ? std::nullopt : due_under(file_.items.back());
  }

  static std::optional<LineKind> due_under(const Item& item) {
    if (std::holds_alternative<Piece>(item.form)) return LineKind::property;
    if (std::holds_alternative<Rule>(item.form)) return LineKind::rule;
    if (std::holds_alternative<Chart>(item.form)) return LineKind::chart;
    if (std::holds_alternative<Accept>(item.form)) return LineKind::accept;
    if (std::holds_alternative<Deal>(item.form)) return LineKind::deal;
    if (std::holds_alternative<OverTheLimit>(item.form)) return LineKind::plan;
    if (std::holds_alternative<Player>(item.form)) return LineKind::player;
    return std::nullopt;
  }

  void add(const Node& root, const Line& line) {
    Item& item = file_.items.back();
    item.span.end = line.end;
    if (auto* piece = std::get_if<Piece>(&item.form)) builder_.add_property(root, *piece);
    if (auto* rule = std::get_if<Rule>(&item.form)) builder_.add_to_rule(root, span(line), *rule);
    if (auto* chart = std::get_if<Chart>(&item.form)) builder_.add_to_chart(root, span(line), *chart);
    if (auto* accept = std::get_if<Accept>(&item.form)) builder_.add_to_accept(root, span(line), *accept);
    if (auto* deal = std::get_if<Deal>(&item.form)) builder_.add_to_deal(root, span(line), *deal);
    if (auto* plan = std::get_if<OverTheLimit>(&item.form)) builder_.add_to_plan(root, span(line), *plan);
    if (auto* player = std::get_if<Player>(&item.form)) builder_.add_to_player(root, *player);
  }

  File& file_;
  const Source& source_;
  Diagnostics& diagnostics_;
  Builder builder_;
  bool open_ = true;        // false under an item whose first line could not be read
  bool left_told_ = false;  // true once an unindented line was reported as belonging to the open item
};

}  // namespace

File read(std::shared_ptr<const Source> source, Diagnostics& diagnostics) {
  File file;
  file.source = std::move(source);
  FileReader(file, *file.source, diagnostics).run();
  return file;
}

std::unique_ptr<Node> parse_or_tell(LineKind kind, const Span& line, Diagnostics& diagnostics) {
  File none;
  return FileReader(none, *line.source, diagnostics).parsed_or_told(kind, {line.begin, line.end, false});
}

std::optional<Value> read_value(const Source& source) {
  try {
    const auto root = parse_line(LineKind::value, source, 0, static_cast<std::uint32_t>(source.text().size()));
    Diagnostics diagnostics;
    auto value = Builder(source, diagnostics).value(*root->children[0]);
    return diagnostics.empty() ? std::optional(std::move(value)) : std::nullopt;
  } catch (const Unread&) {
    return std::nullopt;
  }
}

}  // namespace lacestay::grammar
