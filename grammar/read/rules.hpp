// The grammar of the policy language and of sample players, to be read alone.
//
// Two small grammars. `layout` cuts a file into lines, comments and nothing else. `line::…` says what one line
// of each kind holds: the reader knows from the layout which kind is due, so a bad line costs only itself.
// Rules under `must` are commit points: each has its own message in messages.hpp, and one without a message
// does not compile.
#pragma once

#include <tao/pegtl.hpp>

namespace lacestay::grammar::rules {

using namespace tao::pegtl;

// ---- characters ------------------------------------------------------------------------------------------

struct line_end : sor<string<'\r', '\n'>, one<'\n', '\r'>> {};
// Blanks a word processor may put: no-break, figure, thin and narrow spaces, the byte-order mark.
struct blank : sor<one<' ', '\t'>, utf8::one<0xA0, 0x2007, 0x2009, 0x202F, 0x3000, 0xFEFF>> {};
struct comment : seq<one<'#'>, star<not_at<line_end>, any>> {};
struct quote : sor<one<'"'>, utf8::one<0x201C, 0x201D, 0x201E, 0x201F, 0x2033>> {};
struct minus : sor<one<'-'>, utf8::one<0x2010, 0x2011, 0x2012, 0x2013, 0x2014, 0x2212>> {};
struct letter : sor<alpha, utf8::ranges<0xC0, 0xD6, 0xD8, 0xF6, 0xF8, 0x24F>> {};
struct word_rest : sor<letter, digit, one<'_'>> {};

// ---- layout: a file as lines -----------------------------------------------------------------------------

namespace layout {
struct quoted : seq<quote, star<not_at<sor<quote, line_end>>, any>, opt<quote>> {};
struct inches : seq<digit, quote> {};  // 4'6"
struct content : plus<sor<inches, quoted, seq<not_at<sor<line_end, one<'#'>>>, any>>> {};
struct line : seq<star<blank>, opt<content>, opt<comment>> {};
struct file : seq<line, star<line_end, line>, eof> {};
}  // namespace layout

// ---- what a line is made of ------------------------------------------------------------------------------

// Blanks between words. A line that continues after a comma has a line end, and perhaps a comment, inside them.
struct _ : star<sor<blank, line_end, comment>> {};

template <typename Spelling>
struct key : seq<Spelling, not_at<word_rest>, _> {};
template <typename First, typename Second>
struct key2 : seq<First, not_at<word_rest>, _, Second, not_at<word_rest>, _> {};
template <typename First, typename Second, typename Third>
struct key3 : seq<First, not_at<word_rest>, _, Second, not_at<word_rest>, _, Third, not_at<word_rest>, _> {};

#define KEY(text) TAO_PEGTL_ISTRING(text)

struct comma : seq<one<','>, _> {};
struct colon : seq<one<':'>, _> {};
struct equals : seq<one<'='>, _> {};

// Words that end a name.
struct reserved
    : seq<sor<KEY("and"), KEY("as"), KEY("at"), KEY("before"), KEY("for"), KEY("from"), KEY("gives"), KEY("is"),
              KEY("never"), KEY("of"), KEY("or"), KEY("over"), KEY("rises"), KEY("rounded"), KEY("since"), KEY("the"),
              KEY("to"), KEY("under"), KEY("within"), KEY("without"), KEY("with")>,
          not_at<word_rest>> {};
struct word_text : seq<letter, star<word_rest>> {};
struct word : seq<not_at<reserved>, word_text> {};
struct phrase : seq<word, star<_, opt<one<'.'>>, _, word>> {};
struct phrase_ : seq<phrase, _> {};
struct word_ : seq<word, _> {};

struct text_body : star<not_at<sor<quote, line_end>>, any> {};
struct closing_quote : seq<quote, _> {};
struct text : if_must<quote, text_body, closing_quote> {};

// ---- quantities ------------------------------------------------------------------------------------------

struct fraction_sign : utf8::one<0xBC, 0xBD, 0xBE, 0x2153, 0x2154, 0x215B, 0x215C, 0x215D, 0x215E> {};
struct decimal : seq<plus<digit>, opt<one<'.'>, plus<digit>>> {};
// `3/16`, and in front of it perhaps a whole number: `1 3/16`. No rule is marked in parts past hundreds.
struct fraction : seq<plus<digit>, sor<one<'/'>, utf8::one<0x2044>>, tao::pegtl::range<'1', '9'>, rep_opt<2, digit>,
                      not_at<sor<digit, one<'/', '.'>>>> {};
struct mixed : seq<plus<digit>, plus<blank>, fraction> {};
struct number : sor<mixed, fraction, seq<plus<digit>, star<blank>, fraction_sign>, decimal, fraction_sign> {};

template <typename... Spellings>
struct unit_of : seq<sor<Spellings...>, not_at<word_rest>> {};
struct foot : unit_of<KEY("feet"), KEY("foot"), KEY("ft")> {};
struct inch : unit_of<KEY("inches"), KEY("inch"), KEY("in")> {};
struct stone : unit_of<KEY("stone"), KEY("st")> {};
struct pound : unit_of<KEY("pounds"), KEY("pound"), KEY("lbs"), KEY("lb")> {};
struct ounce : unit_of<KEY("oz")> {};
struct years : unit_of<KEY("years"), KEY("year")> {};
struct months : unit_of<KEY("months"), KEY("month")> {};
struct other_unit : sor<unit_of<KEY("metres"), KEY("kilos"), KEY("kilo"), KEY("flex"), KEY("mm"), KEY("cm"), KEY("kg"),
                                KEY("m"), KEY("g")>,
                        one<'%'>> {};
struct unit : sor<foot, inch, stone, pound, ounce, years, months, other_unit> {};
struct currency : seq<rep<3, upper>, not_at<word_rest>> {};

template <typename Unit>
struct amount_in : seq<number, star<blank>, Unit> {};
template <typename Large, typename Small>
struct compound : seq<amount_in<Large>, star<blank>, amount_in<Small>> {};
struct amount : seq<number, opt<star<blank>, sor<unit, currency>>> {};
struct quantity
    : seq<sor<compound<foot, inch>, compound<stone, pound>, compound<pound, ounce>, compound<years, months>, amount>,
          not_at<word_rest>> {};
struct quantity_ : seq<quantity, _> {};

// `4'6"`, `54"`: feet and inches by their marks, as details and stock have them. In a policy, quotes are for texts.
struct foot_mark : sor<one<'\''>, utf8::one<0x2019, 0x2032>> {};
struct inch_mark : sor<quote, string<'\'', '\''>> {};
struct marked_feet : seq<number, star<blank>, foot_mark, not_at<foot_mark>> {};
struct marked_inches : seq<number, star<blank>, inch_mark> {};
struct rest_in_inches : seq<number, opt<star<blank>, inch_mark>> {};
struct marked_length : sor<seq<marked_feet, opt<star<blank>, rest_in_inches>>, marked_inches> {};

// ---- days ------------------------------------------------------------------------------------------------

struct year_number : rep<4, digit> {};
struct month_number : rep<2, digit> {};
struct day_number : rep_min_max<1, 2, digit> {};
struct month_name : seq<sor<KEY("january"), KEY("february"), KEY("march"), KEY("april"), KEY("may"), KEY("june"),
                            KEY("july"), KEY("august"), KEY("september"), KEY("october"), KEY("november"),
                            KEY("december"), KEY("jan"), KEY("feb"), KEY("mar"), KEY("apr"), KEY("jun"), KEY("jul"),
                            KEY("aug"), KEY("sep"), KEY("oct"), KEY("nov"), KEY("dec")>,
                        not_at<word_rest>> {};
struct date_iso : seq<year_number, one<'-'>, month_number, one<'-'>, rep<2, digit>, not_at<word_rest>> {};
struct date_words : seq<day_number, plus<blank>, month_name, plus<blank>, year_number, not_at<word_rest>> {};
struct date : sor<date_iso, date_words> {};
struct date_ : seq<date, _> {};

// ---- values ----------------------------------------------------------------------------------------------

struct value : sor<date, quantity, phrase> {};
struct value_ : seq<value, _> {};
struct interval : seq<value_, key<KEY("to")>, value> {};
// Of a choice: `round or square`, `any of them`.
struct any_of_them
    : seq<KEY("any"), not_at<word_rest>, _, KEY("of"), not_at<word_rest>, _, KEY("them"), not_at<word_rest>> {};
struct or_word : seq<KEY("or"), not_at<word_rest>> {};
struct another_choice : seq<phrase> {};
struct some_of_them : seq<phrase, plus<_, or_word, _, must<another_choice>>> {};
struct left_open : sor<any_of_them, some_of_them> {};
struct one_amount : failure {};
struct cell : seq<sor<interval, left_open, value>, _, opt<at<or_word>, must<one_amount>>> {};

// ---- conditions ------------------------------------------------------------------------------------------

struct relation_under : key<KEY("under")> {};
struct relation_at_least : key2<KEY("at"), KEY("least")> {};
struct relation_over : key<KEY("over")> {};
struct relation_at_most : key2<KEY("at"), KEY("most")> {};
struct relation_before : key<KEY("before")> {};
struct relation_since : key<KEY("since")> {};
struct relation
    : sor<relation_under, relation_at_least, relation_over, relation_at_most, relation_before, relation_since> {};

struct compared_with : value_ {};
struct comparison : seq<phrase_, relation, must<compared_with>> {};
// After a comma one word alone is a further member of the same detail; two words begin the next condition.
struct lone_word : seq<phrase, not_at<_, relation>> {};
struct alternative : sor<seq<comma, at<word_text, _, sor<one<','>, eof, quote, or_word>>, lone_word, _>,
                         seq<key<KEY("or")>, lone_word, _>> {};
struct membership : seq<phrase_, star<alternative>> {};
// `sessions 2 to 4`, `category u8 to u12`: before a member the phrase holds the detail's name as well.
struct range_last : value_ {};
struct spanning : seq<phrase_, opt<sor<date, quantity>, _>, key<KEY("to")>, must<range_last>> {};
struct condition : sor<comparison, spanning, membership> {};
struct next_condition : condition {};
struct first_condition : condition {};
struct conditions : seq<must<first_condition>, star<comma, must<next_condition>>> {};
struct when : seq<key<KEY("for")>, conditions> {};

// ---- formulas --------------------------------------------------------------------------------------------

struct expression;
struct inner_expression : seq<expression> {};
struct closing_bracket : seq<one<')'>, _> {};
struct group : if_must<seq<one<'('>, _>, inner_expression, closing_bracket> {};
struct sum;
struct left_operand : seq<sum> {};
struct right_operand : seq<sum> {};
struct and_key : key<KEY("and")> {};
struct larger : if_must<key3<KEY("the"), KEY("larger"), KEY("of")>, left_operand, and_key, right_operand> {};
struct smaller : if_must<key3<KEY("the"), KEY("smaller"), KEY("of")>, left_operand, and_key, right_operand> {};
struct day_of : seq<sor<date, phrase>, _> {};
struct first_day : day_of {};
struct last_day : day_of {};
struct to_key : key<KEY("to")> {};
struct whole_years : if_must<key3<KEY("whole"), KEY("years"), KEY("from")>, first_day, to_key, last_day> {};
// A number before a `/`, which divides here.
struct dividend : seq<plus<digit>, at<one<'/'>>> {};
struct operand : sor<group, larger, smaller, whole_years, seq<sor<date, dividend, quantity, phrase>, _>> {};
struct multiply : seq<sor<one<'*'>, utf8::one<0xD7>>, _> {};
struct divide : seq<sor<one<'/'>, utf8::one<0xF7>>, _> {};
struct add : seq<one<'+'>, _> {};
struct subtract : seq<minus, _> {};
struct factor : operand {};
struct product : seq<operand, star<sor<multiply, divide>, must<factor>>> {};
struct term : seq<product> {};
struct sum : seq<product, star<sor<add, subtract>, must<term>>> {};
struct round_up : key2<KEY("rounded"), KEY("up")> {};
struct round_down : key2<KEY("rounded"), KEY("down")> {};
struct round_nearest : seq<key2<KEY("rounded"), KEY("to")>, key2<KEY("the"), KEY("nearest")>> {};
struct rounding_to : opt<key<KEY("to")>> {};
struct rounding_step : quantity_ {};
struct rounding : seq<sor<round_nearest, seq<sor<round_up, round_down>, rounding_to>>, must<rounding_step>> {};
struct expression : seq<sum, opt<rounding>> {};

// ---- domains ---------------------------------------------------------------------------------------------

struct member_words : text {};
struct shown_as : if_must<key2<KEY("shown"), KEY("as")>, member_words> {};
struct member : seq<word_, opt<shown_as>> {};
struct members : seq<member, star<comma, member>> {};
struct grades : if_must<key<KEY("grades")>, members> {};
struct choice : if_must<key<KEY("choice")>, members> {};
struct range : seq<interval, _> {};
struct whole : seq<comma, key<KEY("whole")>> {};
struct shown_unit : seq<sor<unit, currency>, _> {};
struct shown_in : if_must<key2<KEY("shown"), KEY("in")>, shown_unit, opt<key<KEY("and")>, shown_unit>> {};

// ---- the lines -------------------------------------------------------------------------------------------

namespace line {

struct end : eof {};  // every line ends here; what is left over is an error
template <typename... Rules>
struct whole_line : seq<Rules..., must<end>> {};

struct title : text {};
struct policy : if_must<key<KEY("policy")>, title> {};
struct part : if_must<key<KEY("part")>, title> {};
struct pack : if_must<key<KEY("pack")>, title> {};

struct edition_number : quantity_ {};
struct in_force : seq<comma, key<KEY("in")>, key2<KEY("force"), KEY("from")>> {};
struct in_force_from : date_ {};
struct in_force_to : date_ {};
struct edition
    : if_must<key<KEY("edition")>, edition_number, in_force, in_force_from, opt<key<KEY("to")>, must<in_force_to>>> {};

struct money_code : word_ {};
struct money : if_must<key<KEY("money")>, money_code> {};

struct other_file : text {};
struct along_with : if_must<key2<KEY("along"), KEY("with")>, other_file, opt<when>> {};

struct relied_on : word_ {};  // one word, since `in` may follow
struct relied_whole : key<KEY("whole")> {};
struct relied_unit : shown_unit {};
struct relies_on
    : if_must<key2<KEY("relies"), KEY("on")>, relied_on, opt<key<KEY("in")>, opt<relied_whole>, must<relied_unit>>> {};

struct name : word_ {};
struct ask_domain : sor<grades, choice, seq<range, opt<whole>>> {};
struct may_change : key2<KEY("may"), KEY("change")> {};
struct may_be_blank : key<seq<KEY("may"), _, KEY("be"), _, KEY("left"), _, KEY("blank")>> {};
struct precision : quantity_ {};
struct give_or_take : if_must<key3<KEY("give"), KEY("or"), KEY("take")>, precision> {};
struct question : text {};
struct ask : if_must<key<KEY("ask")>, name, ask_domain,
                     star<sor<question, may_change, may_be_blank, shown_in, give_or_take>>> {};

struct formula_equals : equals {};
struct formula : seq<expression> {};
struct work_out : if_must<key2<KEY("work"), KEY("out")>, name, formula_equals, formula> {};

struct always : key<KEY("always")> {};
struct optional : key<KEY("optional")> {};
struct presence : sor<always, optional, when> {};
struct label : text {};
struct piece : if_must<key<KEY("piece")>, name, presence, opt<label>> {};

struct is_key : key<KEY("is")> {};
struct grouped : phrase_ {};
struct piece_group : if_must<key<KEY("group")>, name, is_key, grouped, star<comma, must<grouped>>> {};

struct gives_key : key<KEY("gives")> {};
struct graded_key : key2<KEY("graded"), KEY("as")> {};
struct given_word : seq<not_at<graded_key>, word> {};
struct given_words : seq<given_word, star<_, opt<one<'.'>>, _, given_word>> {};
struct given : seq<given_words, _> {};
struct graded_as : phrase_ {};
struct from_file : key<KEY("from")> {};
struct sheet_file : text {};
struct from_sheet : if_must<from_file, sheet_file> {};
struct chart
    : if_must<key<KEY("chart")>, name, gives_key, given, opt<if_must<graded_key, graded_as>>, opt<from_sheet>> {};

struct rule : if_must<key<KEY("rule")>, name> {};

struct sure_advice : key3<KEY("the"), KEY("advice"), KEY("of")> {};
struct sure_subject : phrase_ {};
struct sure_bound : cell {};
struct sure_interval : seq<interval, _> {};
struct sure_needed : key<KEY("needed")> {};
struct sure_left_out : key2<KEY("left"), KEY("out")> {};
struct sure_at_least : if_must<relation_at_least, sure_bound> {};
struct sure_at_most : if_must<relation_at_most, sure_bound> {};
struct sure_within : if_must<key<KEY("within")>, sure_interval> {};
struct sure_detail : phrase_ {};
struct sure_as : key<KEY("as")> {};
struct sure_rises : key<KEY("rises")> {};
struct sure_never_falls : if_must<key2<KEY("never"), KEY("falls")>, sure_as, sure_detail, sure_rises> {};
struct sure_never_rises : if_must<key2<KEY("never"), KEY("rises")>, sure_as, sure_detail, sure_rises> {};
struct sure_member : word_ {};
struct sure_one_of : seq<sure_member, star<key<KEY("or")>, must<sure_member>>> {};
struct sure_is
    : seq<key<KEY("is")>, sor<sure_needed, sure_left_out, sure_at_least, sure_at_most, sure_within, sure_one_of>> {};
struct sure_claim : sor<sure_is, sure_never_falls, sure_never_rises> {};
struct make_sure : if_must<key2<KEY("make"), KEY("sure")>, opt<sure_advice>, sure_subject, sure_claim, opt<when>> {};

struct nobody_has : key<KEY("has")> {};
struct nobody_first : condition {};
struct nobody_next : condition {};
struct nobody_sentence : text {};
struct nobody : seq<if_must<key<KEY("nobody")>, nobody_has, nobody_first>, star<comma, must<nobody_next>>,
                    must<nobody_sentence>> {};

// What is taken from stock, and for how much.
struct protective : phrase_ {};
struct protection : if_must<key2<KEY("protection"), KEY("is")>, protective, star<comma, must<protective>>> {};

// `face_protection goes with helmet`: the one item that no word of its own opens.
struct goes_key : key2<KEY("goes"), KEY("with")> {};
struct going_word : seq<not_at<goes_key>, word> {};
struct going_words : seq<going_word, star<_, opt<one<'.'>>, _, going_word>> {};
struct going : seq<going_words, _> {};
struct partner : phrase_ {};
struct goes_with : if_must<seq<going, goes_key>, partner> {};

struct advised : key<KEY("advised")> {};
struct as_advised : seq<key<KEY("as")>, must<advised>> {};
struct least_advised : seq<relation_at_least, must<advised>> {};
struct most_advised : seq<relation_at_most, must<advised>> {};
struct cut_length : phrase_ {};
struct once_cut_to : if_must<key3<KEY("once"), KEY("cut"), KEY("to")>, cut_length> {};
struct within_advised : seq<key<KEY("within")>, must<advised>, opt<once_cut_to>> {};
struct covered : phrase_ {};
struct covers : if_must<key<KEY("covers")>, covered> {};
struct in_date : key3<KEY("certified"), KEY("until"), KEY("today")> {};
struct either_condition
    : sor<seq<key2<KEY("new"), KEY("or")>, key<KEY("used")>>, seq<key2<KEY("used"), KEY("or")>, key<KEY("new")>>> {};
struct new_or_used : seq<key<KEY("condition")>, either_condition> {};
struct price_relation : sor<relation_under, relation_at_least, relation_over, relation_at_most> {};
struct price_sum : quantity_ {};
// `price at most 40 GBP if used`: of used goods alone.
struct if_new : key<KEY("new")> {};
struct if_used : key<KEY("used")> {};
struct if_goods : sor<if_new, if_used> {};
struct of_goods : if_must<key<KEY("if")>, if_goods> {};
struct price : if_must<key<KEY("price")>, price_relation, price_sum, opt<of_goods>> {};
struct made_at_most : seq<relation_at_most> {};
struct made_years : quantity_ {};
struct before_today : key2<KEY("before"), KEY("today")> {};
struct made : if_must<key<KEY("made")>, made_at_most, made_years, before_today, opt<of_goods>> {};
struct related : seq<phrase_, opt<sor<as_advised, least_advised, most_advised, within_advised>>> {};
struct requirement : sor<covers, in_date, new_or_used, price, made, related> {};
struct next_requirement : seq<requirement> {};
struct accepted : phrase_ {};
struct accepted_with : key<KEY("with")> {};
struct accept : if_must<key<KEY("accept")>, accepted, accepted_with, next_requirement,
                        star<comma, must<next_requirement>>, opt<when>> {};

struct worthy : phrase_ {};
struct worth_amount : quantity_ {};
struct worth_step : seq<key<KEY("a")>, sor<key<KEY("step")>, key<KEY("grade")>>> {};
struct worth : if_must<key<KEY("worth")>, worthy, worth_amount, worth_step, opt<when>> {};

struct deal : if_must<key<KEY("deal")>, name, opt<label>, opt<when>> {};

struct each_line : seq<key2<KEY("each"), KEY("line")>> {};
struct the_bill : seq<key2<KEY("the"), KEY("bill")>> {};
struct rounded_where : seq<key<KEY("on")>, sor<each_line, the_bill>> {};
struct round_percentages : if_must<key2<KEY("round"), KEY("percentages")>, rounded_where> {};

struct over_the_limit : key3<KEY("over"), KEY("the"), KEY("limit")> {};

struct players_of : if_must<key2<KEY("players"), KEY("of")>, other_file> {};
struct player : if_must<key<KEY("player")>, name, opt<label>> {};

// A line at the very left: what opens an item.
struct item : sor<policy, part, pack, edition, money, along_with, relies_on, ask, work_out, piece, piece_group, chart,
                  rule, make_sure, nobody, protection, accept, worth, deal, round_percentages, over_the_limit,
                  goes_with, players_of, player> {};
struct known_item : item {};
struct item_line : whole_line<must<known_item>> {};

// The words that open an item, for a line indented by accident.
struct opening_word : seq<sor<KEY("policy"), KEY("part"), KEY("pack"), KEY("edition"), KEY("money"), KEY("along"),
                              KEY("relies"), KEY("ask"), KEY("work"), KEY("piece"), KEY("group"), KEY("chart"),
                              KEY("rule"), KEY("make"), KEY("nobody"), KEY("protection"), KEY("accept"), KEY("worth"),
                              KEY("deal"), KEY("round"), KEY("over"), KEY("players"), KEY("player")>,
                          not_at<word_rest>> {};

// Under a piece.
struct step_key : key<KEY("step")> {};
struct step : quantity_ {};
struct band_range : range {};
struct band : if_must<key<KEY("band")>, band_range, step_key, step> {};
// A property can't be a day, which is told by what says so better than that a step is missing.
struct stepped : sor<seq<at<date>, range, opt<step_key, step>>, seq<range, must<step_key, step>>> {};
struct property_size : quantity_ {};
struct sizes : if_must<key2<KEY("one"), KEY("of")>, property_size, star<comma, must<property_size>>> {};
struct property_domain : sor<grades, choice, band, sizes, stepped> {};
struct property : seq<must<name>, must<property_domain>, star<sor<label, shown_in>>> {};
struct property_line : whole_line<property> {};

// Under a rule and a chart alike.
struct reason : text {};
struct because : if_must<key<KEY("because")>, reason> {};
struct where_from : text {};
struct source : if_must<key<KEY("source")>, where_from> {};
struct outranked : phrase_ {};
struct outranks : if_must<key<KEY("outranks")>, outranked, star<comma, must<outranked>>> {};
struct safety : key<KEY("safety")> {};
struct clause : sor<when, because, source, outranks, safety> {};

// One phrase for steps wherever they stand: `one step up in gloves size`.
struct steps_away : sor<key<KEY("one")>, key<KEY("two")>, key<KEY("three")>> {};
struct step_word : sor<key<KEY("step")>, key<KEY("steps")>> {};
struct upwards : key<KEY("up")> {};
struct downwards : key<KEY("down")> {};
struct in_key : key<KEY("in")> {};
struct moved : phrase_ {};
struct steps : if_must<seq<steps_away, step_word, sor<upwards, downwards>>, in_key, moved> {};

// Under a rule.
struct target : phrase_ {};
struct targets : seq<must<target>, star<comma, must<target>>> {};
// `round, square or open`: in a chart the comma would begin the next cell.
struct or_between : failure {};
struct answer : seq<cell, opt<at<comma, word_text, _, sor<one<','>, or_word>>, must<or_between>>> {};
struct answer_within
    : seq<sor<interval, left_open, phrase>, _, opt<at<comma, word_text, _, sor<one<','>, or_word>>, must<or_between>>> {
};
struct from_key : key<KEY("from")> {};
struct set_to : key<KEY("to")> {};
struct at_key : key<KEY("at")> {};
struct within_key : key<KEY("within")> {};
struct size_detail : phrase_ {};
struct set : if_must<key<KEY("set")>, target, set_to, answer> {};
struct never_key : seq<opt<comma>, key<KEY("never")>> {};
struct smallest : value_ {};
struct largest : value_ {};
struct never_under : if_must<key<KEY("under")>, smallest> {};
struct never_over : if_must<key<KEY("over")>, largest> {};
struct past_ends : sor<seq<never_under, opt<key<KEY("or")>, must<never_over>>>, never_over> {};
struct size_to : if_must<key<KEY("to")>, size_detail> {};
struct size
    : if_must<key<KEY("size")>, target, from_key, size_detail, opt<size_to>, opt<if_must<never_key, past_ends>>> {};
struct keep : if_must<key<KEY("keep")>, target, within_key, answer_within> {};
struct floor : if_must<key<KEY("floor")>, target, at_key, answer> {};
struct cap : if_must<key<KEY("cap")>, target, at_key, answer> {};
struct need : seq<key<KEY("need")>, targets> {};
struct suggest : seq<key<KEY("suggest")>, targets> {};
struct omit : seq<key<KEY("omit")>, targets> {};
struct refer : seq<key<KEY("refer")>, targets> {};
struct caution_text : text {};
struct caution : if_must<key<KEY("caution")>, caution_text> {};
struct action : sor<set, size, keep, floor, cap, steps, need, suggest, omit, refer, caution> {};
struct rule_content : sor<clause, action> {};
struct rule_line : whole_line<must<rule_content>> {};

// Under a chart.
struct edge : value_ {};
struct head_under : if_must<relation_under, edge> {};
struct head_at_most : if_must<relation_at_most, edge> {};
struct head_before : if_must<relation_before, edge> {};
struct head_rest : key2<KEY("the"), KEY("rest")> {};
struct head_member : phrase_ {};
struct or_key : key<KEY("or")> {};
struct head_members : seq<head_member, star<sor<comma, or_key>, head_member>> {};
struct across_members : seq<head_member, star<or_key, head_member>> {};
struct row_head : sor<head_under, head_at_most, head_before, head_rest, head_members> {};
struct across_head : sor<head_under, head_at_most, head_before, head_rest, across_members> {};
struct across_detail : sor<seq<phrase_, colon>, word_> {};
struct across : if_must<key<KEY("across")>, across_detail, across_head, star<comma, must<across_head>>> {};
struct down_detail : phrase_ {};
struct down : if_must<key<KEY("down")>, down_detail> {};
struct row_cell : cell {};
struct cells : seq<must<row_cell>, star<comma, must<row_cell>>> {};
struct row_colon : colon {};
struct headed_row : seq<at<plus<not_one<':'>>, one<':'>>, must<row_head>, must<row_colon>, cells> {};
struct bare_row : seq<at<sor<digit, letter, fraction_sign>>, cells> {};
struct chart_content : sor<across, down, clause, headed_row, bare_row> {};
struct chart_line : whole_line<must<chart_content>> {};

// A cell of a chart that stands in a spreadsheet, read as the same part of a chart is in a policy.
struct cell_end : eof {};
template <typename Content>
struct whole_cell : seq<_, Content, opt<colon>, must<cell_end>> {};
struct sheet_across_detail : phrase_ {};
struct sheet_across : if_must<key<KEY("across")>, sheet_across_detail> {};
struct sheet_row_begin : whole_cell<sor<sheet_across, down, must<row_head>>> {};  // a row's first cell
struct column_head : sor<head_under, head_at_most, head_before, head_rest, head_members> {};
struct sheet_column : whole_cell<must<column_head>> {};  // another cell of the row that begins with across
struct sheet_answer : cell {};
struct sheet_cell : whole_cell<must<sheet_answer>> {};  // another cell of any other row

// Under what is accepted: where to look when the shelf is bare.
struct let_go : phrase_ {};
struct instead_any : if_must<key<KEY("any")>, let_go> {};
struct instead_refer : key<KEY("refer")> {};
struct instead_order : key<KEY("order")> {};
struct instead : sor<steps, instead_any, instead_refer, instead_order> {};
struct none_comma : comma {};
struct instead_note : text {};
struct if_none : if_must<seq<key2<KEY("if"), KEY("none")>, key2<KEY("in"), KEY("stock")>>, none_comma, instead,
                         opt<instead_note>> {};
struct accept_content : if_none {};
struct accept_line : whole_line<must<accept_content>> {};

// Under a deal.
struct of_one_make : key3<KEY("of"), KEY("one"), KEY("make")> {};
struct make_name : text {};
struct of_make : if_must<key<KEY("of")>, make_name> {};
struct kept_to : sor<of_one_make, of_make> {};
struct tag_sum : quantity_ {};
struct deal_tag : if_must<price_relation, tag_sum> {};
struct deal_piece : seq<phrase_, opt<deal_tag>> {};
struct or_more : seq<key2<KEY("or"), KEY("more")>, opt<key<KEY("pieces")>>> {};
struct deal_count
    : seq<quantity_, must<or_more>, opt<kept_to>, opt<colon, must<deal_piece>, star<comma, must<deal_piece>>>> {};
struct deal_bundle : seq<deal_piece, plus<key<KEY("with")>, must<deal_piece>>, opt<kept_to>> {};
struct whole_kit : seq<key3<KEY("the"), KEY("whole"), KEY("kit")>> {};
struct deal_kit : seq<whole_kit, opt<kept_to>> {};
struct deal_lines : sor<deal_count, deal_kit, deal_bundle> {};
struct deal_for : if_must<key<KEY("for")>, deal_lines> {};
struct other_deal : phrase_ {};
struct adds_to : if_must<key2<KEY("adds"), KEY("to")>, other_deal, star<comma, must<other_deal>>> {};
struct together : key<KEY("together")> {};
struct off_piece : phrase_ {};
struct taken_off : seq<key<KEY("off")>, opt<off_piece, star<comma, must<off_piece>>>> {};
struct deal_gives : seq<quantity_, sor<together, taken_off>> {};
struct deal_content : sor<deal_for, adds_to, deal_gives, because> {};
struct deal_line : whole_line<must<deal_content>> {};

// Under over the limit: what else may be done for a piece, in this order.
struct plan_piece : phrase_ {};
struct plan_cost : quantity_ {};
// After `for` stands a sum, or, of whom it is, a detail.
struct plan_for : seq<key<KEY("for")>, not_at<letter>, must<plan_cost>> {};
struct hire : if_must<key<KEY("hire")>, plan_piece, opt<plan_for>, opt<when>> {};
struct borrow : if_must<key<KEY("borrow")>, plan_piece, opt<when>> {};
struct buy_used : if_must<key2<KEY("buy"), KEY("used")>, plan_piece, opt<plan_for>, opt<when>> {};
struct put_off : if_must<key2<KEY("put"), KEY("off")>, plan_piece, opt<when>> {};
struct settled_for : sor<steps, instead_any> {};
struct settle : if_must<key2<KEY("settle"), KEY("for")>, settled_for, opt<when>> {};
struct plan_content : sor<hire, borrow, buy_used, put_off, settle> {};
struct plan_line : whole_line<must<plan_content>> {};

// Under a player.
struct reading : seq<phrase_, opt<sor<date, marked_length, quantity, text>, _>> {};
struct next_reading : seq<reading> {};
struct owned : phrase_ {};
struct owns : if_must<key<KEY("owns")>, owned, star<comma, must<owned>>> {};
struct left_with : phrase_ {};
struct leaves_refer : if_must<key<KEY("refer")>, left_with> {};
struct leaves_caution : if_must<key<KEY("caution")>, caution_text> {};
struct leaves_next : seq<left_with, key<KEY("to")>, key2<KEY("take"), KEY("next")>> {};
struct or_with : phrase_ {};
struct leaves_has : seq<left_with, sor<plus<key<KEY("or")>, must<or_with>>, opt<cell>>> {};
struct item_number : text {};
struct leaves_item : if_must<key<KEY("item")>, item_number> {};
struct total_sum : seq<opt<relation_at_most>, quantity_> {};
struct leaves_total : if_must<key<KEY("total")>, total_sum> {};
struct leaves_claim : sor<leaves_refer, leaves_caution, leaves_item, leaves_total, leaves_next, leaves_has> {};
struct leaves_with : if_must<key2<KEY("leaves"), KEY("with")>, leaves_claim> {};
struct left_without : sor<leaves_caution, leaves_item, left_with> {};
struct leaves_without : if_must<key2<KEY("leaves"), KEY("without")>, left_without> {};
struct readings : seq<reading, star<comma, must<next_reading>>> {};
struct spent : quantity_ {};
struct can_spend : if_must<key2<KEY("can"), KEY("spend")>, spent> {};
struct player_content : sor<owns, can_spend, leaves_with, leaves_without, readings> {};
struct player_line : whole_line<must<player_content>> {};

// A quantity or a day alone, as in a player's details from JSON or the command line.
struct lone_value : seq<_, sor<date, marked_length, quantity>, _, eof> {};

}  // namespace line
#undef KEY

}  // namespace lacestay::grammar::rules
