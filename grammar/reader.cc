#include "grammar/reader.hpp"

#include <fmt/format.h>

#include "grammar/build.hpp"

namespace lacestay::grammar {
namespace {

// From the byte where reading stopped to the end of the word that stands there.
Span unread_span(const Source& source, std::uint32_t byte, std::uint32_t line_end) {
  const auto text = source.text();
  const auto blank = [](char c) { return c == ' ' || c == '\t' || c == '\n' || c == '\r' || c == ','; };
  std::uint32_t end = byte;
  while (end < line_end && !blank(text[end])) ++end;
  return {&source, byte, std::max(end, std::min(byte + 1, line_end))};
}

class FileReader {
 public:
  FileReader(File& file, Diagnostics& diagnostics)
      : file_(file), source_(*file.source), diagnostics_(diagnostics), builder_(source_, diagnostics) {}

  void run() {
    const auto layout = read_layout(source_);
    for (const auto& comment : layout.comments)
      file_.comments.push_back({{&source_, comment.begin, comment.end}, comment.own_line});
    for (const auto& line : layout.lines) line.indented ? indented(line) : opens_item(line);
    if (layout.lines.empty())
      diagnostics_.add("file-1", {&source_, 0, 0}, "The file says nothing: it holds no line but blanks and comments.",
                       "begin it with a line such as: policy \"Rink shop, starter kit\"");
  }

 private:
  [[nodiscard]] Span span(const Line& line) const { return {&source_, line.begin, line.end}; }

  std::unique_ptr<Node> parse(LineKind kind, const Line& line) {
    try {
      return parse_line(kind, source_, line.begin, line.end);
    } catch (const Unread& unread) {
      diagnostics_.add(unread.wanted.code, unread_span(source_, unread.byte, line.end), unread.wanted.message,
                       unread.wanted.hint);
      return nullptr;
    }
  }

  void opens_item(const Line& line) {
    const auto root = parse(LineKind::item, line);
    open_ = root != nullptr;
    if (!root) return;
    file_.items.push_back(builder_.item(*root));
    file_.items.back().span = file_.items.back().head = span(line);
  }

  // An indented line that opens an item, by accident: says so, and opens it, so that the lines under it are read.
  bool indented_by_accident(const Line& line) {
    if (!begins_with_opening_word(source_, line.begin, line.end)) return false;
    std::unique_ptr<Node> root;
    try {
      root = parse_line(LineKind::item, source_, line.begin, line.end);
    } catch (const Unread&) {
      return false;
    }
    diagnostics_.add("layout-1", span(line), "This line opens an item, but it is indented, so it would belong to the item above.",
                     "move it to the very left");
    file_.items.push_back(builder_.item(*root));
    file_.items.back().span = file_.items.back().head = span(line);
    open_ = true;
    return true;
  }

  void indented(const Line& line) {
    const std::optional<LineKind> kind = file_.items.empty() || !open_ ? std::nullopt : due_under(file_.items.back());
    if (kind) {
      try {
        const auto root = parse_line(*kind, source_, line.begin, line.end);
        add(*root, line);
      } catch (const Unread& unread) {
        if (indented_by_accident(line)) return;
        diagnostics_.add(unread.wanted.code, unread_span(source_, unread.byte, line.end), unread.wanted.message,
                         unread.wanted.hint);
      }
      return;
    }
    if (indented_by_accident(line)) return;
    if (file_.items.empty() && open_)
      diagnostics_.add("layout-2", span(line), "This line is indented, but no item stands above it.", "move it to the very left");
    else if (open_)
      diagnostics_.add("layout-3", span(line), "Nothing stands under the item above, yet this line is indented.",
                       "move it to the very left, or write it on the line above")
          .notes.push_back({"the item above", file_.items.back().head});
    // Under an item whose first line could not be read, lines are passed over: that line's message stands for them.
  }

  static std::optional<LineKind> due_under(const Item& item) {
    if (std::holds_alternative<Piece>(item.form)) return LineKind::property;
    if (std::holds_alternative<Rule>(item.form)) return LineKind::rule;
    if (std::holds_alternative<Chart>(item.form)) return LineKind::chart;
    if (std::holds_alternative<Player>(item.form)) return LineKind::player;
    return std::nullopt;
  }

  void add(const Node& root, const Line& line) {
    Item& item = file_.items.back();
    item.span.end = line.end;
    if (auto* piece = std::get_if<Piece>(&item.form)) builder_.add_property(root, *piece);
    if (auto* rule = std::get_if<Rule>(&item.form)) builder_.add_to_rule(root, span(line), *rule);
    if (auto* chart = std::get_if<Chart>(&item.form)) builder_.add_to_chart(root, span(line), *chart);
    if (auto* player = std::get_if<Player>(&item.form)) builder_.add_to_player(root, *player);
  }

  File& file_;
  const Source& source_;
  Diagnostics& diagnostics_;
  Builder builder_;
  bool open_ = true;  // false under an item whose first line could not be read
};

}  // namespace

File read(std::shared_ptr<const Source> source, Diagnostics& diagnostics) {
  File file;
  file.source = std::move(source);
  FileReader(file, diagnostics).run();
  return file;
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
