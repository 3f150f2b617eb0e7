#include "cli/completions.h"

#include <algorithm>
#include <functional>

namespace headroom {

namespace {

std::string joined_words(const std::vector<std::string>& words, const char* between) {
  std::string out;
  for (const auto& w : words) out += (out.empty() ? "" : between) + w;
  return out;
}

// What completes an argument: "file", "folder", the words themselves, or "any".
std::string completed_by(const PageArgument& a) {
  if (!a.choices.empty()) return joined_words(a.choices, " ");
  if (a.value == "FILE") return "file";
  if (a.value == "FOLDER") return "folder";
  return "any";
}

void each_page(const Page& page, const std::function<void(const Page&)>& visit) {
  visit(page);
  for (const auto& c : page.commands) each_page(c, visit);
}

// Options that may stand behind any command: those of the program but --version.
std::vector<const PageArgument*> shared_options(const Page& root) {
  auto options = root.listed(false);
  std::erase_if(options, [](const PageArgument* a) { return a->name == "--version"; });
  return options;
}

constexpr const char* kBashRest = R"sh(
_headroom() {
  local cur=${COMP_WORDS[COMP_CWORD]} path=headroom place=0 kind= word i REPLY
  COMPREPLY=()
  for ((i = 1; i < COMP_CWORD; i++)); do
    word=${COMP_WORDS[i]}
    # bash takes 50:1 and --at=18:30 apart at these.
    if [[ $word == [:=] ]]; then
      [[ $word == = ]] && kind=any
      ((++i < COMP_CWORD)) && kind=
      continue
    fi
    if [[ -n $kind ]]; then
      kind=
      continue
    fi
    if [[ $word == -* ]]; then
      _headroom_option "$path" "$word"
      kind=$REPLY
      continue
    fi
    _headroom_commands "$path"
    if [[ " $REPLY " == *" $word "* ]]; then
      path+=" $word"
      place=0
    else
      ((++place))
    fi
  done
  if [[ -z $kind && $cur == -* ]]; then
    _headroom_options "$path"
    mapfile -t COMPREPLY < <(compgen -W "$REPLY" -- "$cur")
    return
  fi
  if [[ -z $kind ]]; then
    _headroom_place "$path" "$place"
    kind=$REPLY
    _headroom_commands "$path"
    [[ $kind == any ]] && kind=
    [[ -n $REPLY && $kind != file && $kind != folder ]] && kind+=" $REPLY"
  fi
  case $kind in
    file)
      compopt -o filenames 2>/dev/null
      mapfile -t COMPREPLY < <(compgen -f -- "$cur")
      ;;
    folder)
      compopt -o filenames 2>/dev/null
      mapfile -t COMPREPLY < <(compgen -d -- "$cur")
      ;;
    any | '') ;;
    *) mapfile -t COMPREPLY < <(compgen -W "$kind" -- "$cur") ;;
  esac
}
complete -F _headroom headroom
)sh";

// What stands between single quotes in zsh, within a spec of _arguments or _describe.
std::string zsh_spec(const std::string& text) {
  std::string out;
  for (const char c : text) {
    if (c == '[' || c == ']' || c == ':' || c == '\\')
      (out += '\\') += c;
    else if (c == '\'')
      out += "'\\''";
    else
      out += c;
  }
  return out;
}

std::string zsh_action(const PageArgument& a) {
  if (!a.choices.empty()) return "(" + joined_words(a.choices, " ") + ")";
  if (a.value == "FILE") return "_files";
  if (a.value == "FOLDER") return "_files -/";
  return " ";
}

std::string zsh_option(const PageArgument& a) {
  std::string out = a.name + "[" + zsh_spec(a.text) + "]";
  if (!a.value.empty()) out += ":" + zsh_spec(a.choices.empty() ? a.value : "one of") + ":" + zsh_action(a);
  return "'" + out + "'";
}

std::string function_name(const Page& page) {
  auto name = "_" + joined_words(page.path, "_");
  std::replace(name.begin(), name.end(), '-', '_');
  return name;
}

std::string zsh_function(const Page& page) {
  const bool program = page.path.size() == 1;
  std::string out = function_name(page) + "() {\n";
  if (!page.commands.empty()) out += "  local curcontext=$curcontext state ret=1\n  typeset -A opt_args\n";
  out += page.commands.empty() ? "  _arguments -s" : "  _arguments -C";
  for (const auto* a : page.listed(false))
    if (!program || a->name == "--version") out += " \\\n    " + zsh_option(*a);
  out += " \\\n    $_headroom_shared";
  std::size_t place = 0;
  for (const auto* a : page.listed(true)) {
    ++place;
    out += " \\\n    '" + (a->repeats ? std::string("*") : std::to_string(place)) + (a->required ? ":" : "::") +
           zsh_spec(a->name) + ":" + zsh_action(*a) + "'";
  }
  if (page.commands.empty()) return out + "\n}\n";
  out += " \\\n    '" + std::to_string(place + 1) + ":command:->command' \\\n    '*::argument:->argument' && ret=0\n";
  out += "  case $state in\n    command)\n      local -a commands=(\n";
  for (const auto& c : page.commands) out += "        '" + c.path.back() + ":" + zsh_spec(c.text) + "'\n";
  out += "      )\n      _describe -t commands command commands && ret=0\n      ;;\n    argument)\n";
  for (std::size_t i = 0; i < place; ++i) out += "      shift words\n      ((CURRENT--))\n";
  out += "      case $words[1] in\n";
  for (const auto& c : page.commands) out += "        " + c.path.back() + ") " + function_name(c) + " && ret=0 ;;\n";
  return out + "      esac\n      ;;\n  esac\n  return ret\n}\n";
}

}  // namespace

std::string bash_completion(const Page& root) {
  std::string commands, options, option_values, places;
  std::string shared;
  for (const auto* a : shared_options(root)) {
    shared += " " + a->name;
    if (!a->value.empty()) option_values += "    *' " + a->name + "') REPLY='" + completed_by(*a) + "' ;;\n";
  }
  std::string own_values;
  each_page(root, [&](const Page& page) {
    std::string names;
    for (const auto& c : page.commands) names += (names.empty() ? "" : " ") + c.path.back();
    if (!names.empty()) commands += "    '" + page.name() + "') REPLY='" + names + "' ;;\n";
    std::string own;
    for (const auto* a : page.listed(false)) {
      if (page.path.size() == 1 && a->name != "--version") continue;
      own += (own.empty() ? "" : " ") + a->name;
      if (!a->value.empty()) own_values += "    '" + page.name() + " " + a->name + "') REPLY='" + completed_by(*a) + "' ;;\n";
    }
    if (!own.empty()) options += "    '" + page.name() + "') REPLY='" + own + "' ;;\n";
    std::size_t place = 0;
    for (const auto* a : page.listed(true)) {
      const auto by = completed_by(*a);
      if (by != "any")
        places += "    '" + page.name() + "':" + (a->repeats ? "*" : std::to_string(place)) + ") REPLY='" + by + "' ;;\n";
      ++place;
    }
  });
  const auto function = [](const char* name, const char* over, const std::string& cases) {
    return std::string(name) + "() {\n  REPLY=\n  case " + over + " in\n" + cases + "  esac\n}\n";
  };
  return "# bash completion for headroom. Made from the command tree by 'headroom docs'; do not edit.\n\n" +
         function("_headroom_commands", "$1", commands) + function("_headroom_option", "\"$1 $2\"", own_values + option_values) +
         "_headroom_options() {\n  REPLY=\n  case $1 in\n" + options + "  esac\n  REPLY+='" + shared + "'\n}\n" +
         function("_headroom_place", "$1:$2", places) + kBashRest;
}

std::string zsh_completion(const Page& root) {
  std::string out =
      "#compdef headroom\n# zsh completion for headroom. Made from the command tree by 'headroom docs'; do not edit.\n\n"
      "local -a _headroom_shared=(\n";
  for (const auto* a : shared_options(root)) out += "  " + zsh_option(*a) + "\n";
  out += ")\n\n";
  each_page(root, [&](const Page& page) {
    auto text = zsh_function(page);
    if (page.path.size() == 1) text = "_headroom_program" + text.substr(std::string("_headroom").size());
    out += text + "\n";
  });
  return out + "_headroom_program \"$@\"\n";
}

}  // namespace headroom
