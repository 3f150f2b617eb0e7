#include "cli/man.h"

#include <algorithm>

#include "cli/text.h"
#include "cli/version.h"
#include "core/margin.h"

namespace headroom {

namespace {

// A backslash and a hyphen mean themselves, and a line that begins with a control character is text.
std::string troff(const std::string& text) {
  std::string out;
  if (text.starts_with('.') || text.starts_with('\'')) out = "\\&";
  for (const char c : text) {
    if (c == '\\')
      out += "\\e";
    else if (c == '-')
      out += "\\-";
    else if (c == '"')
      out += "\\(dq";  // within a macro's line a quote would group words
    else
      out += c;
  }
  return out;
}

// Prose: each sentence begins a line, none is longer than 78 columns, and hyphens may be broken at.
std::string prose(const std::string& text) {
  constexpr std::size_t kWidth = 78;
  std::string sentences = text;
  for (std::size_t at = 0; (at = sentences.find(". ", at)) != std::string::npos; ++at)
    if (!std::string_view(sentences).substr(0, at).ends_with("e.g")) sentences[at + 1] = '\n';
  std::string safe;
  bool in_option = false;
  const auto lines = wrapped(sentences, kWidth);
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const char c = lines[i];
    const bool word_begins = i == 0 || lines[i - 1] == ' ' || lines[i - 1] == '\n';
    if (word_begins) in_option = c == '-';
    if ((i == 0 || lines[i - 1] == '\n') && (c == '.' || c == '\'')) safe += "\\&";
    if (c == '\\')
      safe += "\\e";
    else if (c == '-' && in_option)
      safe += "\\-";
    else
      safe += c;
  }
  return safe;
}

std::string sentence(const std::string& text) {
  return prose(text.ends_with('.') ? text : text + ".");
}

std::string upper(std::string text) {
  std::transform(text.begin(), text.end(), text.begin(), [](unsigned char c) { return std::toupper(c); });
  return text;
}

// Words in bold, arguments that stand for something in italics.
std::string usage_lines(const Page& page) {
  std::string out;
  bool first = true;
  for (const auto& part : page.usage()) {
    if (first) {
      out += ".B " + troff(part) + "\n";
      first = false;
      continue;
    }
    std::string text;
    std::string word;
    const auto flush = [&] {
      if (word.empty()) return;
      const bool stands_for = std::all_of(word.begin(), word.end(), [](unsigned char c) { return std::isupper(c) || c == '-'; });
      const bool plain = word.find_first_not_of('.') == std::string::npos;
      text += plain ? troff(word) : (stands_for && word[0] != '-' ? "\\fI" : "\\fB") + troff(word) + "\\fR";
      word.clear();
    };
    for (const char c : part) {
      if (c == ' ' || c == '[' || c == ']' || c == '|') {
        flush();
        text += c == ' ' ? std::string("\\ ") : std::string(1, c);
      } else {
        word += c;
      }
    }
    flush();
    out += text + "\n";
  }
  return out;
}

std::string arguments_text(const Page& page) {
  std::string out;
  for (const bool positional : {true, false})
    for (const auto* a : page.listed(positional)) {
      out += ".TP\n";
      if (positional)
        out += ".I " + troff(a->name) + "\n";
      else if (a->value.empty())
        out += ".B " + troff(a->name) + "\n";
      else if (a->choices.empty())
        out += ".BI " + troff(a->name) + " \\ " + troff(a->value) + "\n";
      else
        out += ".B " + troff(a->name) + " " + troff(a->value) + "\n";
      out += sentence(a->text);
    }
  return out;
}

std::string examples_text(const std::vector<std::string>& examples) {
  std::string out = ".nf\n";
  for (const auto& example : examples) out += ".B " + troff(example) + "\n";
  return out + ".fi\n";
}

std::string remarks_text(const Page& page) {
  std::string out;
  for (const auto& remark : page.remarks) out += ".PP\n" + sentence(remark);
  return out;
}

// "headroom\-brief \- before a flight: ...", which the indexer of manual pages reads.
std::string name_lines(const std::string& name, const std::string& text) {
  const auto lines = prose("- " + lower_first(text));
  return troff(name) + "\n" + lines;
}

std::string heading(const Page& page, const std::string& name) {
  return ".\\\" Made from the command tree by 'headroom docs'; change the texts in src/cli instead.\n"
         ".TH " +
         upper(troff(name)) + " 1 " + kPagesDate + " \"headroom " + kVersion + "\" \"headroom\"\n.SH NAME\n" +
         name_lines(name, page.text) + ".SH SYNOPSIS\n" + usage_lines(page);
}

// Everything below a command: its own commands, each with its arguments and examples.
std::string below(const Page& page, std::size_t depth) {
  std::string out;
  for (const auto& c : page.commands) {
    std::string title;
    for (std::size_t i = depth; i < c.path.size(); ++i) title += (title.empty() ? "" : " ") + c.path[i];
    out += ".SS " + troff(title) + "\n" + sentence(c.text) + ".PP\n" + usage_lines(c) + arguments_text(c);
    if (!c.examples.empty()) out += ".PP\n" + examples_text(c.examples);
    out += remarks_text(c);
    // `amend` takes the kinds that stand beside it.
    const bool told_already = std::all_of(c.commands.begin(), c.commands.end(), [&](const Page& deeper) {
      return std::any_of(page.commands.begin(), page.commands.end(),
                         [&](const Page& beside) { return beside.path.back() == deeper.path.back(); });
    });
    if (!told_already) out += below(c, depth);
  }
  return out;
}

std::string ending(const Page& root, const Page* self) {
  std::string out = ".SH CAUTION\n" + prose(std::string(kCaution)) + ".SH SEE ALSO\n";
  std::vector<std::string> others;
  if (self != nullptr) others.emplace_back("headroom");
  for (const auto& c : root.commands)
    if (self == nullptr || c.path != self->path) others.push_back("headroom-" + c.path.back());
  std::sort(others.begin(), others.end());
  for (const auto& name : others) out += ".BR " + troff(name) + " (1)" + (&name == &others.back() ? "\n" : ",\n");
  return out;
}

}  // namespace

std::string manual_of_program(const Page& root) {
  std::string out = heading(root, "headroom") + ".SH DESCRIPTION\n" + sentence(root.text);
  out +=
      prose(
          "It keeps one book of what happened to one machine and its pilot, learns from recordings of flights, and says what is "
          "left before each limit, thinnest first, how sure that is, and what would change it. "
          "Called alone it says what state the book is in and what to enter next.") +
      ".SH COMMANDS\n";
  for (const auto& c : root.commands) out += ".TP\n.BR " + troff("headroom-" + c.path.back()) + " (1)\n" + sentence(c.text);
  out += ".SH OPTIONS\nThese hold for every command and may stand anywhere.\n" + arguments_text(root);
  if (!root.examples.empty()) out += ".SH EXAMPLES\n" + examples_text(root.examples);
  for (const auto& remark : root.remarks) out += ".PP\n" + sentence(remark);
  out +=
      ".SH EXIT STATUS\n"
      ".TP\n.B 0\nDone.\n"
      ".TP\n.B 1\nThe tool failed, or the book is damaged, locked or written by a newer version.\n"
      ".TP\n.B 2\nThe input or the call is wrong; of several files, one was refused, the rest\nwritten.\n"
      ".TP\n.B 3\nDone, and some margin is short.\n"
      ".SH FILES\n"
      ".TP\n.I $XDG_DATA_HOME/headroom/book.db\nThe book, where no\n.B \\-\\-book\nsays otherwise; without the variable\n"
      ".IR \\(ti/.local/share/headroom/book.db .\n"
      ".TP\n.I $XDG_STATE_HOME/headroom\nThe id that this installation signs its entries with.\n"
      ".TP\n.I $XDG_CACHE_HOME/headroom\nResults kept to be faster; it can be deleted at any time.\n"
      ".SH ENVIRONMENT\n"
      ".TP\n.B COLUMNS\nThe width to write for, where it is not the terminal's own.\n"
      ".TP\n.B NO_COLOR\nSet to anything: no bold and no underlined words.\nNo colour is used in any case.\n"
      ".TP\n.B TERM\nWith\n.B dumb\nthere are no bold and no underlined words either.\n";
  return out + ending(root, nullptr);
}

std::string manual_of_command(const Page& root, const Page& command) {
  std::string out = heading(command, "headroom-" + command.path.back()) + ".SH DESCRIPTION\n" + sentence(command.text);
  out += remarks_text(command);
  if (!command.arguments.empty()) out += ".SH OPTIONS\n" + arguments_text(command);
  if (!command.commands.empty()) out += ".SH COMMANDS\n" + below(command, 2);
  if (!command.examples.empty()) out += ".SH EXAMPLES\n" + examples_text(command.examples);
  out += ".SH \"OPTIONS OF EVERY COMMAND\"\n";
  std::string names;
  for (const auto* a : root.listed(false))
    if (a->name != "--version") names += (names.empty() ? ".BR " : "\n.BR ") + troff(a->name) + " ,";
  names.resize(names.size() - 2);
  out += names + ":\nsee\n.BR headroom (1).\n";
  return out + ending(root, &command);
}

}  // namespace headroom
