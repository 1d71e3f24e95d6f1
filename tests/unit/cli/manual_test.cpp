#include "cli/manual.hpp"

#include <gtest/gtest.h>

#include <CLI/CLI.hpp>
#include <cctype>
#include <sstream>

#include "cli/command_line.hpp"
#include "cli/completion.hpp"

namespace panewalk::cli {
namespace {

/// A small program that has one of everything.
class MadeUp : public testing::Test {
 protected:
  MadeUp() {
    app_.footer("First:\n  tidebell ring pier.json bell 'loud'\n\nExit status: 0 rung, 1 silent.");
    CLI::App* ring = app_.add_subcommand("ring", "Ring a bell. It's heard far off");
    ring->add_option("SITE", text_, "the site file")->required();
    ring->add_option("PROP", text_, "the bell")->required();
    ring->add_option("--as", text_, "how: [loud] or not")
        ->check(CLI::IsMember({"loud", "low"}))
        ->capture_default_str();
    CLI::Option* times = ring->add_option("-t,--times", number_, "how often")
                             ->check(CLI::Range(1, 9))
                             ->capture_default_str();
    ring->add_option("--with", texts_, "others too; more than once")
        ->type_name("PROP:FAULT[=VALUE]")
        ->allow_extra_args(false);
    ring->add_flag("--once", flag_, ".once \\ and no more")->excludes(times);
    ring->add_option("--secret", text_, "nobody is told")->group("");
    CLI::App* log = app_.add_subcommand("log", "Write down what rang");
    log->add_option("PROPFILE", text_, "what rings");
    log->add_option("--out", text_, "where to")->type_name("FILE")->required();
    log->add_option("--pattern", text_, "how it rang")->type_name("PATTERN");
  }

  CLI::App app_{"Tidebell rings bells.", "tidebell"};
  std::string text_ = "low";
  std::vector<std::string> texts_;
  int number_ = 3;
  bool flag_ = false;
};

TEST_F(MadeUp, IsOutlinedAsHelpTellsIt) {
  const Outline all = outline(app_);
  ASSERT_EQ(all.commands.size(), 2u);
  const OutlinedCommand& ring = all.commands[0];
  EXPECT_EQ(ring.name, "ring");
  EXPECT_EQ(ring.site_place(), 1u);
  EXPECT_EQ(all.commands[1].site_place(), 0u);
  ASSERT_EQ(ring.options.size(), 5u);
  EXPECT_TRUE(ring.options[0].is_help);
  EXPECT_EQ(ring.options[1].choices, (std::vector<std::string>{"loud", "low"}));
  EXPECT_EQ(ring.options[1].preset, "low");
  EXPECT_EQ(ring.options[2].names, (std::vector<std::string>{"-t", "--times"}));
  EXPECT_EQ(ring.options[2].value, "NUMBER");
  EXPECT_EQ(ring.options[2].range, "1 to 9");
  EXPECT_EQ(ring.options[3].value, "PROP:FAULT[=VALUE]");
  EXPECT_TRUE(ring.options[3].repeats);
  EXPECT_EQ(ring.footer, "");
  EXPECT_EQ(ring.options[4].excludes, std::vector<std::string>{"--times"});
}

TEST_F(MadeUp, HasAManPage) {
  const ManualWords words{
      .version = "7", .date = "May 1, 2026", .before = ".Sh FILES\nfew\n", .after = ""};
  EXPECT_EQ(man_page(outline(app_), words), R"(.\" Made by `tidebell manual --as man`.
.Dd May 1, 2026
.Dt TIDEBELL 1
.Os
.nh
.Sh NAME
.Nm tidebell
.Nd rings bells
.Sh SYNOPSIS
.Nm
.Fl h , Fl -help
.Nm
.Cm ring
.Op Ar options
.Ar SITE
.Ar PROP
.Nm
.Cm log
.Fl -out Ar FILE
.Op Ar options
.Op Ar PROPFILE
.Sh DESCRIPTION
Tidebell rings bells.
This is version 7.
.Bl -tag -width Ds
.It Fl h , Fl -help
Print this help message and exit.
.El
.Sh COMMANDS
.Ss ring
Ring a bell.
It's heard far off.
.Bl -tag -width Ds
.It Ar SITE
The site file.
.It Ar PROP
The bell.
.It Fl -as Cm loud | low
How: [loud] or not.
Without it: low.
.It Fl t , Fl -times Ar NUMBER
How often.
From 1 to 9.
Without it: 3.
Not with \-\-once.
.It Fl -with Ar PROP:FAULT[=VALUE]
Others too; more than once.
.It Fl -once
\&.once \e and no more.
Not with \-\-times.
.El
.Ss log
Write down what rang.
.Bl -tag -width Ds
.It Ar PROPFILE
What rings.
May be left out.
.It Fl -out Ar FILE
Where to.
Required.
.It Fl -pattern Ar PATTERN
How it rang.
.El
.Sh FILES
few
.Sh EXIT STATUS
.Bl -tag -width Ds
.It 0
Rung.
.It 1
Silent.
.El
.Sh EXAMPLES
First:
.Bd -literal -offset indent
tidebell ring pier.json bell \(aqloud\(aq
.Ed
)");
}

TEST_F(MadeUp, HasBashCompletion) {
  const std::string script = bash_completion(outline(app_));
  EXPECT_EQ(script.substr(0, script.find("\n_tidebell() {")),
            R"(# bash completion for tidebell, made by `tidebell manual --as bash`.

# What is typed behind an option of a command, or at a place behind it.
_tidebell_takes() {
  case "$1 $2" in
    ' 1') takes='words ring log' ;;
    ' options') takes='words -h --help' ;;
    'ring 1') takes='site' ;;
    'ring 2') takes='names props' ;;
    'ring --as') takes='words loud low' ;;
    'ring -t') takes='text' ;;
    'ring --times') takes='text' ;;
    'ring --with') takes='names faults' ;;
    'ring options') takes='words -h --help --as -t --times --with --once' ;;
    'log 1') takes='json' ;;
    'log --out') takes='file' ;;
    'log --pattern') takes='names patterns' ;;
    'log options') takes='words -h --help --out --pattern' ;;
    *) takes='' ;;
  esac
}
)");
  EXPECT_TRUE(script.ends_with("\ncomplete -F _tidebell tidebell\n"));
  EXPECT_EQ(script.find("NAME"), std::string::npos);
}

TEST_F(MadeUp, HasZshCompletion) {
  const std::string script = zsh_completion(outline(app_));
  const auto from = script.find("_arguments -C");
  ASSERT_NE(from, std::string::npos);
  EXPECT_EQ(script.substr(from, script.find("\nif [[", from) - from), R"(_arguments -C \
    '(-h --help)-h[Print this help message and exit]' \
    '(-h --help)--help[Print this help message and exit]' \
    '1: :->command' '*:: :->rest'
  case $state in
    command)
      local -a commands=(
        'ring:Ring a bell. It'\''s heard far off'
        'log:Write down what rang'
      )
      _describe command commands
      ;;
    rest)
      case $words[1] in
        ring)
          _arguments \
            '(-h --help)-h[Print this help message and exit]' \
            '(-h --help)--help[Print this help message and exit]' \
            '(--as)--as=[how\: \[loud\] or not]:TEXT:(loud low)' \
            '(--once -t --times)-t[how often]:NUMBER: ' \
            '(--once -t --times)--times=[how often]:NUMBER: ' \
            '*--with=[others too; more than once]:PROP\:FAULT\[=VALUE\]:_tidebell_names faults 1' \
            '(--times --once)--once[.once \\ and no more]' \
            '1:SITE:_files -g "*.json"' \
            '2:PROP:_tidebell_names props 1'
          ;;
        log)
          _arguments \
            '(-h --help)-h[Print this help message and exit]' \
            '(-h --help)--help[Print this help message and exit]' \
            '(--out)--out=[where to]:FILE:_files' \
            '(--pattern)--pattern=[how it rang]:PATTERN:_tidebell_names patterns 0' \
            '1::PROPFILE:_files -g "*.json"'
          ;;
      esac
      ;;
  esac
}
)");
}

TEST_F(MadeUp, HasFishCompletion) {
  const std::string script = fish_completion(outline(app_));
  EXPECT_EQ(script.substr(0, script.find("\n# The command,")),
            R"(# fish completion for tidebell, made by `tidebell manual --as fish`.

set -g __tidebell_valued 'ring --as' 'ring -t' 'ring --times' 'ring --with' 'log --out' 'log --pattern'
set -g __tidebell_sites 'ring 1'
)");
  const auto from = script.find("complete -c");
  ASSERT_NE(from, std::string::npos);
  EXPECT_EQ(script.substr(from), R"(complete -c tidebell -f
complete -c tidebell -n '__tidebell_in \'\'' -s h -l help -d 'Print this help message and exit'
complete -c tidebell -n '__tidebell_in \'\'' -a ring -d 'Ring a bell. It\'s heard far off'
complete -c tidebell -n '__tidebell_in \'\'' -a log -d 'Write down what rang'
complete -c tidebell -n '__tidebell_at ring 0' -k -a '(__fish_complete_suffix .json)'
complete -c tidebell -n '__tidebell_at ring 1' -a '(__tidebell_names props)'
complete -c tidebell -n '__tidebell_in ring' -s h -l help -d 'Print this help message and exit'
complete -c tidebell -n '__tidebell_in ring' -l as -x -a 'loud low' -d 'how: [loud] or not'
complete -c tidebell -n '__tidebell_in ring' -s t -l times -x -d 'how often'
complete -c tidebell -n '__tidebell_in ring' -l with -x -a '(__tidebell_names faults)' -d 'others too; more than once'
complete -c tidebell -n '__tidebell_in ring' -l once -d '.once \\ and no more'
complete -c tidebell -n '__tidebell_at log 0' -k -a '(__fish_complete_suffix .json)'
complete -c tidebell -n '__tidebell_in log' -s h -l help -d 'Print this help message and exit'
complete -c tidebell -n '__tidebell_in log' -l out -r -F -d 'where to'
complete -c tidebell -n '__tidebell_in log' -l pattern -x -a '(__tidebell_names patterns)' -d 'how it rang'
)");
}

/// The part of a text from one mark to the next of its kind, "" without it.
std::string part(const std::string& text, const std::string& from, const std::string& to) {
  const auto at = text.find(from);
  return at == std::string::npos ? "" : text.substr(at, text.find(to, at + from.size()) - at);
}

/// Whether the name stands by itself, with no letter or dash behind it.
bool has_word(const std::string& text, const std::string& word) {
  for (auto at = text.find(word); at != std::string::npos; at = text.find(word, at + 1)) {
    const char next = at + word.size() < text.size() ? text[at + word.size()] : ' ';
    if (std::isalnum(static_cast<unsigned char>(next)) == 0 && next != '-') return true;
  }
  return false;
}

/// The lines that begin so.
std::string lines_of(const std::string& text, const std::string& begin) {
  std::istringstream in{text};
  std::string out;
  for (std::string line; std::getline(in, line);) {
    if (line.starts_with(begin)) out += line + "\n";
  }
  return out;
}

// The tree of CLI11 itself is walked here, not the outline.
TEST(Manual, HasEveryOptionOfEveryCommandInEveryText) {
  const CommandLine all;
  const Outline said = outline(all.app());
  const std::string man = man_page(said, manual_words());
  const std::string bash = bash_completion(said), zsh = zsh_completion(said);
  const std::string fish = fish_completion(said);
  std::size_t seen = 0;
  for (const Command& command : commands()) {
    const std::string name = command.name;
    const std::string in_man = part(man, ".Ss " + name + "\n", "\n.S");
    const std::string in_bash = part(bash, "    '" + name + " options')", "\n");
    const std::string in_zsh = part(zsh, "\n        " + name + ")\n", ";;");
    const std::string in_fish =
        lines_of(fish, "complete -c panewalk -n '__panewalk_in " + name + "' ");
    ASSERT_FALSE(in_man.empty() || in_bash.empty() || in_zsh.empty() || in_fish.empty()) << name;
    for (const CLI::Option* option : all.app().get_subcommand(name)->get_options()) {
      SCOPED_TRACE(name + ' ' + option->get_name());
      if (option->get_positional()) {
        EXPECT_TRUE(has_word(in_man, ".It Ar " + option->get_name()));
        EXPECT_TRUE(has_word(in_zsh, ":" + option->get_name()));
      }
      const bool is_help = option == all.app().get_subcommand(name)->get_help_ptr();
      for (const std::string& each : option->get_lnames()) {
        // On the page --help stands once, for all commands.
        EXPECT_TRUE(is_help || has_word(in_man, "Fl -" + each));
        EXPECT_TRUE(has_word(in_bash, "--" + each));
        EXPECT_TRUE(has_word(in_zsh, ")--" + each) || has_word(in_zsh, "*--" + each));
        EXPECT_TRUE(has_word(in_fish, " -l " + each));
        ++seen;
      }
    }
  }
  EXPECT_GT(seen, 40u);
}

}  // namespace
}  // namespace panewalk::cli
