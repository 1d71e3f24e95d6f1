#include "cli/manual.hpp"

namespace panewalk::cli {
namespace {

constexpr const char* kBefore = R"mdoc(.Sh ENVIRONMENT
.Bl -tag -width Ds
.It Ev STATE_DIRECTORY
The folder for the logbook and the sender's number.
A service manager sets it.
.It Ev XDG_STATE_HOME
Without
.Ev STATE_DIRECTORY ,
the folder
.Pa panewalk
in it is used;
.Pa ~/.local/state/panewalk
where it is not set.
.It Ev NO_COLOR
Where it is set and not empty, nothing is printed in colour.
.El
.Sh FILES
.Bl -tag -width Ds
.It Pa /etc/panewalk/site.json
The site of
.Pa panewalk.service ,
where a package has installed it.
The service does not start before there is one.
.It Pa $STATE_DIRECTORY/logbook.sqlite
What was checked, seen and found.
.It Pa ~/.local/state/panewalk/logbook.sqlite
The same for somebody who runs it by hand.
.El
)mdoc";

constexpr const char* kAfter = R"mdoc(.Sh SAFETY
Fuses, the right wire and GFCI/RCD protection keep you safe; a limit in
software protects nothing.
.Pp
Power off before you plug, cut or splice.
Mains work is for a licensed electrician.
Keep yourself, ladder, pipe and wire 3 m (10 ft) from overhead lines.
.Pp
Flashing light can harm people who are sensitive to it.
A flash limiter stands after every pattern and has no switch.
.Pp
Every way out that a program has ends dark.
A kill by signal 9 and a power cut can't: what a receiver does then is its
setting.
.Pp
.Cm serve
speaks plain HTTP.
Use it in a network you trust, never on the internet.
.Sh SEE ALSO
.Pa README.md ,
for the files of sites, props and patterns.
)mdoc";

}  // namespace

const ManualWords& manual_words() {
  static const ManualWords words{
      .version = PANEWALK_VERSION, .date = "November 26, 2026", .before = kBefore, .after = kAfter};
  return words;
}

}  // namespace panewalk::cli
