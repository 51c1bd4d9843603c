// Source text, and positions in it.
//
// A Source owns its bytes and never normalizes them: what word processors insert (curly quotes, no-break spaces,
// Windows line ends) is handled by the grammar, so that every span points into the user's own file.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace lacestay::grammar {

class Source;

// Bytes [begin, end) of one source, which must outlive it. A default span points nowhere; diagnostics then show no
// place.
struct Span {
  const Source* source = nullptr;
  std::uint32_t begin = 0;
  std::uint32_t end = 0;

  [[nodiscard]] std::string_view text() const;
};

// From the start of `first` to the end of `last`; both of one source.
[[nodiscard]] Span join(const Span& first, const Span& last);

class Source {
 public:
  // What a person who has the file open sees: lines of text, or a spreadsheet's rows and columns (csv.hpp), where each
  // line is a row.
  enum class Shape : std::uint8_t { lines, sheet };

  // `name` is what messages call the file. `text` should have passed `refuse_text` (plain_text.hpp).
  Source(std::string name, std::string text, Shape shape = Shape::lines);
  Source(const Source&) = delete;  // spans hold its address
  Source& operator=(const Source&) = delete;

  [[nodiscard]] const std::string& name() const { return name_; }
  [[nodiscard]] std::string_view text() const { return text_; }
  [[nodiscard]] bool is_sheet() const { return shape_ == Shape::sheet; }

  struct Place {
    std::uint32_t line = 1;    // from 1
    std::uint32_t column = 1;  // from 1, in characters, not bytes
  };
  // Logarithmic in the lines, linear in the line.
  [[nodiscard]] Place place(std::uint32_t byte) const;
  // A line's text without its line end; `line` from 1.
  [[nodiscard]] std::string_view line(std::uint32_t line) const;
  [[nodiscard]] std::uint32_t line_start(std::uint32_t line) const { return line_starts_[line - 1]; }

 private:
  std::string name_;
  std::string text_;
  Shape shape_;
  std::vector<std::uint32_t> line_starts_;
};

// The largest file the tools read.
inline constexpr std::size_t largest_file = 4u << 20;

// Number of characters (code points) in valid UTF-8.
[[nodiscard]] std::size_t characters(std::string_view text);

}  // namespace lacestay::grammar
