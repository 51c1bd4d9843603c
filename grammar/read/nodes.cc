#include "grammar/read/nodes.hpp"

#include <tao/pegtl/contrib/limit_depth.hpp>

#include "grammar/read/reader.hpp"

namespace lacestay::grammar {
namespace {

namespace pegtl = tao::pegtl;
using Input = pegtl::memory_input<pegtl::tracking_mode::eager, pegtl::eol::lf_crlf, const char*>;

Input input_of(const Source& source, std::uint32_t begin, std::uint32_t end) {
  const char* data = source.text().data();
  return Input(data + begin, data + end, "", begin, 1, 1);
}

// ---- layout

struct LayoutState {
  Layout layout;
  bool content_on_line = false;
};

template <typename Rule>
struct layout_action : pegtl::nothing<Rule> {};

template <>
struct layout_action<rules::layout::content> {
  template <typename ActionInput>
  static void apply(const ActionInput& in, LayoutState& state) {
    const auto begin = static_cast<std::uint32_t>(in.iterator().byte);
    auto text = in.string_view();
    const auto trim = [&](std::string_view tail) {
      const bool there = text.size() >= tail.size() && text.substr(text.size() - tail.size()) == tail;
      if (there) text.remove_suffix(tail.size());
      return there;
    };
    while (trim(" ") || trim("\t") || trim("\xC2\xA0")) {
    }
    const auto end = begin + static_cast<std::uint32_t>(text.size());
    state.layout.lines.push_back({begin, end, false});
    state.content_on_line = true;
  }
};

template <>
struct layout_action<rules::comment> {
  template <typename ActionInput>
  static void apply(const ActionInput& in, LayoutState& state) {
    const auto begin = static_cast<std::uint32_t>(in.iterator().byte);
    state.layout.comments.push_back({begin, begin + static_cast<std::uint32_t>(in.size()), !state.content_on_line});
  }
};

template <>
struct layout_action<rules::line_end> {
  static void apply0(LayoutState& state) { state.content_on_line = false; }
};

bool stands_at_the_left(const Source& source, std::uint32_t byte) {
  constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";
  const bool marked = source.text().substr(0, 3) == byte_order_mark;
  const auto line = source.place(byte).line;
  return byte == source.line_start(line) + (line == 1 && marked ? 3 : 0);
}

// ---- lines

template <typename Rule>
struct control : pegtl::normal<Rule> {
  template <typename In, typename... States>
  [[noreturn]] static void raise(const In& in, States&&...) {
    throw Unread{wanted<Rule>, static_cast<std::uint32_t>(in.iterator().byte)};
  }
};

template <typename Rule>
struct limits : pegtl::nothing<Rule> {};
template <>
struct limits<rules::expression> : pegtl::limit_depth<deepest_nesting + 1> {};
// `the larger of the larger of …` nests without brackets, so its operands are limited as brackets are.
template <>
struct limits<rules::left_operand> : pegtl::limit_depth<deepest_nesting + 1> {};
template <>
struct limits<rules::right_operand> : pegtl::limit_depth<deepest_nesting + 1> {};

template <typename Rule>
using keep = pegtl::parse_tree::selector<
    Rule,
    pegtl::parse_tree::store_content::on<
        rules::word, rules::phrase, rules::text_body, rules::number, rules::unit, rules::foot, rules::inch,
        rules::stone, rules::pound, rules::ounce, rules::years, rules::months, rules::currency, rules::amount,
        rules::amount_in<rules::foot>, rules::amount_in<rules::inch>, rules::amount_in<rules::stone>,
        rules::amount_in<rules::pound>, rules::amount_in<rules::ounce>, rules::amount_in<rules::years>,
        rules::amount_in<rules::months>, rules::quantity, rules::marked_length, rules::marked_feet, rules::dividend,
        rules::date_iso, rules::date_words, rules::year_number, rules::month_number, rules::day_number,
        rules::month_name, rules::interval, rules::left_open, rules::relation_under, rules::relation_at_least,
        rules::relation_over, rules::relation_at_most, rules::relation_before, rules::relation_since, rules::comparison,
        rules::spanning, rules::membership, rules::when, rules::expression, rules::sum, rules::product, rules::larger,
        rules::smaller, rules::whole_years, rules::multiply, rules::divide, rules::add, rules::subtract,
        rules::round_up, rules::round_down, rules::round_nearest, rules::grades, rules::choice, rules::whole,
        rules::shown_in>,
    pegtl::parse_tree::store_content::on<
        rules::line::policy, rules::line::part, rules::line::pack, rules::line::edition, rules::line::money,
        rules::line::along_with, rules::line::relies_on, rules::line::relied_whole, rules::line::ask,
        rules::line::may_change, rules::line::may_be_blank, rules::line::give_or_take, rules::line::work_out,
        rules::line::piece, rules::line::piece_group, rules::line::always, rules::line::optional, rules::line::chart,
        rules::line::given_words, rules::line::never_under, rules::line::never_over, rules::line::rule,
        rules::line::nobody, rules::line::make_sure, rules::line::sure_advice, rules::line::sure_one_of,
        rules::line::sure_needed, rules::line::sure_left_out, rules::line::sure_at_least, rules::line::sure_at_most,
        rules::line::sure_within, rules::line::sure_never_falls, rules::line::sure_never_rises, rules::line::players_of,
        rules::line::player, rules::line::property, rules::line::band, rules::line::sizes, rules::line::stepped,
        rules::line::because, rules::line::source, rules::line::outranks, rules::line::safety, rules::line::set,
        rules::line::size, rules::line::size_to, rules::line::keep, rules::line::floor, rules::line::cap,
        rules::line::need, rules::line::suggest, rules::line::omit, rules::line::refer, rules::line::caution,
        rules::line::across, rules::line::down, rules::line::head_under, rules::line::head_at_most,
        rules::line::head_before, rules::line::head_rest, rules::line::head_members, rules::line::across_members,
        rules::line::headed_row, rules::line::bare_row, rules::line::reading, rules::line::owns,
        rules::line::leaves_refer, rules::line::leaves_caution, rules::line::leaves_next, rules::line::leaves_has,
        rules::line::or_with, rules::line::leaves_without>,
    pegtl::parse_tree::store_content::on<
        rules::line::protection, rules::line::goes_with, rules::line::going_words, rules::line::accept,
        rules::line::as_advised, rules::line::least_advised, rules::line::most_advised, rules::line::within_advised,
        rules::line::covers, rules::line::in_date, rules::line::new_or_used, rules::line::price, rules::line::if_new,
        rules::line::if_used, rules::line::made, rules::line::related, rules::line::worth, rules::line::deal,
        rules::line::round_percentages, rules::line::the_bill, rules::line::over_the_limit, rules::line::steps,
        rules::line::steps_away, rules::line::downwards, rules::line::instead_any, rules::line::instead_refer,
        rules::line::instead_order, rules::line::of_one_make, rules::line::of_make, rules::line::deal_count,
        rules::line::deal_kit, rules::line::whole_kit, rules::line::deal_bundle, rules::line::deal_tag,
        rules::line::adds_to, rules::line::deal_gives, rules::line::together, rules::line::hire, rules::line::borrow,
        rules::line::buy_used, rules::line::put_off, rules::line::settle, rules::line::leaves_item,
        rules::line::leaves_total, rules::line::can_spend>,
    pegtl::parse_tree::store_content::on<rules::line::from_sheet, rules::line::sheet_across>>;

template <typename Rule>
std::unique_ptr<Node> parse(Input& in) {
  try {
    auto root = pegtl::parse_tree::parse<Rule, Node, keep, limits, control>(in);
    if (root) return root;
  } catch (const pegtl::parse_error& error) {
    const auto byte = static_cast<std::uint32_t>(error.positions().front().byte);
    throw Unread{
        {"limits-1", "The formula is nested more than 16 deep here.", "work out a part of it as a detail of its own"},
        byte};
  }
  throw Unread{{"reading-4", "This is neither a quantity nor a day.", "write it as in: 30 kg, or 1 September 2026"},
               static_cast<std::uint32_t>(in.iterator().byte)};
}

}  // namespace

std::unique_ptr<Node> parse_line(LineKind kind, const Source& source, std::uint32_t begin, std::uint32_t end) {
  auto in = input_of(source, begin, end);
  switch (kind) {
    case LineKind::item: return parse<rules::line::item_line>(in);
    case LineKind::property: return parse<rules::line::property_line>(in);
    case LineKind::rule: return parse<rules::line::rule_line>(in);
    case LineKind::chart: return parse<rules::line::chart_line>(in);
    case LineKind::accept: return parse<rules::line::accept_line>(in);
    case LineKind::deal: return parse<rules::line::deal_line>(in);
    case LineKind::plan: return parse<rules::line::plan_line>(in);
    case LineKind::player: return parse<rules::line::player_line>(in);
    case LineKind::value: return parse<rules::line::lone_value>(in);
    case LineKind::row_begin: return parse<rules::line::sheet_row_begin>(in);
    case LineKind::column: return parse<rules::line::sheet_column>(in);
    case LineKind::answer: return parse<rules::line::sheet_cell>(in);
  }
  return nullptr;
}

bool is_word_of_the_language(std::string_view word) {
  Input in(word.data(), word.data() + word.size(), "");
  return pegtl::parse<pegtl::seq<rules::reserved, pegtl::eof>>(in);
}

bool begins_with_opening_word(const Source& source, std::uint32_t begin, std::uint32_t end) {
  auto in = input_of(source, begin, end);
  return pegtl::parse<rules::line::opening_word>(in);
}

Layout read_layout(const Source& source) {
  LayoutState state;
  auto in = input_of(source, 0, static_cast<std::uint32_t>(source.text().size()));
  pegtl::parse<rules::layout::file, layout_action>(in, state);  // matches every text
  auto& lines = state.layout.lines;
  for (auto& line : lines) line.indented = !stands_at_the_left(source, line.begin);
  std::vector<Line> joined;
  for (const auto& line : lines) {
    const bool goes_on = !joined.empty() && line.indented && source.text()[joined.back().end - 1] == ',';
    if (goes_on)
      joined.back().end = line.end;
    else
      joined.push_back(line);
  }
  lines = std::move(joined);
  return std::move(state.layout);
}

}  // namespace lacestay::grammar
