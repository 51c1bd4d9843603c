// One line, parsed: PEGTL's parse tree of the rules that matter to the typed tree (the concrete syntax of one line).
// Inner to grammar/, for those who read lines: nobody else includes it.
#pragma once

#include <memory>
#include <tao/pegtl/contrib/parse_tree.hpp>

#include "grammar/read/messages.hpp"
#include "grammar/text/diagnostic.hpp"

namespace lacestay::grammar {

template <typename Rule>
inline constexpr char node_kind = 0;

struct Node : tao::pegtl::parse_tree::basic_node<Node> {
  const char* kind = nullptr;

  template <typename Rule, typename Input, typename... States>
  void start(const Input& in, States&&...) {
    kind = &node_kind<Rule>;
    m_begin = in.iterator();
  }

  template <typename Rule>
  [[nodiscard]] bool is() const {
    return kind == &node_kind<Rule>;
  }
  // The first child of this kind, or nullptr.
  template <typename Rule>
  [[nodiscard]] const Node* find() const {
    for (const auto& child : children)
      if (child->template is<Rule>()) return child.get();
    return nullptr;
  }
  [[nodiscard]] Span span(const Source& text) const {
    return {&text, static_cast<std::uint32_t>(m_begin.byte), static_cast<std::uint32_t>(m_end.byte)};
  }
};

// A line that can't be read: which commit point failed (or which limit was passed), and where.
struct Unread {
  Wanted wanted;
  std::uint32_t byte;
};

// The last three are cells of a chart's spreadsheet: a row's first, a column's head, an answer.
enum class LineKind { item, property, rule, chart, accept, deal, plan, player, value, row_begin, column, answer };

// Parses bytes [begin, end) of the source as one line of this kind; the node returned is the root.
// Throws Unread.
[[nodiscard]] std::unique_ptr<Node> parse_line(LineKind kind, const Source& source, std::uint32_t begin,
                                               std::uint32_t end);

// The same of a line that is told of where it can't be read: null then.
[[nodiscard]] std::unique_ptr<Node> parse_or_tell(LineKind kind, const Span& line, Diagnostics& diagnostics);

// True of a word that ends a name, and so can't be one.
[[nodiscard]] bool is_word_of_the_language(std::string_view word);

// True where the bytes begin with a word that opens an item.
[[nodiscard]] bool begins_with_opening_word(const Source& source, std::uint32_t begin, std::uint32_t end);

// The layout: one entry for each line with content (joined with the next where it ends in a comma) and one for each
// comment, in order.
struct Line {
  std::uint32_t begin, end;  // from the first byte that is not blank to the last
  bool indented;
};
struct CommentPlace {
  std::uint32_t begin, end;
  bool own_line;
};
struct Layout {
  std::vector<Line> lines;
  std::vector<CommentPlace> comments;
};
[[nodiscard]] Layout read_layout(const Source& source);

}  // namespace lacestay::grammar
