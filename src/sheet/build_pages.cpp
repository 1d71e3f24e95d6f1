#include <algorithm>

#include "config/units.hpp"
#include "sheet/pages.hpp"
#include "sheet/parts.hpp"
#include "sheet/steps.hpp"

namespace panewalk::sheet {
namespace {

const char* words_of(PipeEnd end) {
  switch (end) {
    case PipeEnd::kFitting: return "in a fitting";
    case PipeEnd::kCap: return "free, with a cap";
    case PipeEnd::kCoupling: return "in a coupling";
  }
  return "";
}

std::string names_of(const CutList& cuts, const PieceKind& kind) {
  std::vector<std::string> names;
  for (const std::size_t piece : kind.pieces) names.push_back(cuts.pieces[piece].name);
  return base::listed(names);
}

std::string id_of(const CutList& cuts, std::size_t piece) {
  for (const PieceKind& kind : cuts.kinds) {
    if (std::find(kind.pieces.begin(), kind.pieces.end(), piece) != kind.pieces.end()) {
      return kind.id;
    }
  }
  return "";
}

std::string holes_text(const Piece& piece, Units units) {
  std::string all;
  for (const Hole& hole : piece.holes) {
    all += (all.empty() ? "" : "; ") + ("<span class=\"hole\">" + length_figure(hole.at, units)) +
           (hole.in_fitting ? "*" : "") + "</span>";
  }
  return all.empty() ? "none" : all;
}

std::vector<std::vector<std::string>> piece_rows(const SheetInput& input, const CutList& cuts) {
  const Units other = input.units == Units::kInches ? Units::kMillimetres : Units::kInches;
  std::vector<std::vector<std::string>> rows;
  for (const PieceKind& kind : cuts.kinds) {
    const Piece& piece = cuts.pieces[kind.pieces.front()];
    std::string words = escaped(names_of(cuts, kind));
    if (piece.bent) words += "; bent, measured along the middle";
    if (piece.marked_end != PipeEnd::kFitting || piece.other_end != PipeEnd::kFitting) {
      words += std::string{"; marked end "} + words_of(piece.marked_end) + ", other end " +
               words_of(piece.other_end);
    }
    rows.push_back({kTick, "<b>" + kind.id + "</b>", std::to_string(kind.pieces.size()),
                    "<b>" + length_figure(piece.length, input.units) + "</b>",
                    length_figure(piece.length, other), words});
  }
  return rows;
}

std::vector<std::vector<std::string>> hole_rows(const SheetInput& input, const CutList& cuts) {
  std::vector<std::vector<std::string>> rows;
  for (const PieceKind& kind : cuts.kinds) {
    const Piece& piece = cuts.pieces[kind.pieces.front()];
    rows.push_back({kTick, "<b>" + kind.id + "</b>", std::to_string(piece.holes.size()),
                    "<span class=\"holes\">" + holes_text(piece, input.units) + "</span>"});
  }
  return rows;
}

std::string packing_text(const SheetInput& input, const CutList& cuts) {
  std::vector<Millimetres> lengths;
  for (const Piece& piece : cuts.pieces) lengths.push_back(piece.length);
  const Packing& packing = cuts.packing;
  std::vector<std::vector<std::string>> rows;
  for (std::size_t i = 0; i < packing.sticks.size(); ++i) {
    std::vector<std::string> pieces;
    for (const std::size_t piece : packing.sticks[i]) {
      pieces.push_back(id_of(cuts, piece) + " " + length_figure(lengths[piece], input.units));
    }
    std::string row;
    for (const std::string& piece : pieces) row += (row.empty() ? "" : " + ") + piece;
    rows.push_back(
        {kTick, std::to_string(i + 1), row,
         length_figure(leftover(lengths, packing.sticks[i], input.pipe.stock, input.pipe.kerf),
                       input.units)});
  }
  std::string words = counted(packing.sticks.size(), "stick", "sticks") + " of " +
                      length_text(input.pipe.stock, input.units) + ", " +
                      length_text(input.pipe.kerf, Units::kMillimetres) + " a cut; ";
  if (packing.proven) {
    words += "no packing takes fewer.";
  } else {
    words += "laid end to end the pieces fill " + std::to_string(packing.bound) +
             ", so it can't be fewer than that.";
  }
  return "<h3>From which stick</h3>\n" + paragraph(words) +
         table("",
               {"", "Stick", "Pieces", std::string{"Left, "} + std::string{unit_name(input.units)}},
               rows);
}

std::string label(const std::string& head, const std::string& text) {
  return "<div class=\"label\"><b>" + escaped(head) + "</b><br>" + escaped(text) + "</div>\n";
}

}  // namespace

std::string table(const char* style, const std::vector<std::string>& heads,
                  const std::vector<std::vector<std::string>>& rows) {
  std::string all = "<table";
  if (*style != 0) all += std::string{" class=\""} + style + '"';
  all += '>';
  if (!heads.empty()) {
    all += "<thead><tr>";
    for (const std::string& head : heads) {
      all += (head.empty() ? "<th class=\"box\">" : "<th>") + escaped(head) + "</th>";
    }
    all += "</tr></thead>";
  }
  all += "<tbody>\n";
  for (const auto& row : rows) {
    all += "<tr>";
    for (const std::string& cell : row) {
      all += (cell == kTick ? "<td class=\"box\">" : "<td>") + cell + "</td>";
    }
    all += "</tr>\n";
  }
  return all + "</tbody></table>\n";
}

std::string paragraph(const std::string& text, const char* style) {
  const std::string open =
      *style == 0 ? std::string{"<p>"} : std::string{"<p class=\""} + style + "\">";
  return open + escaped(text) + "</p>\n";
}

std::string cut_page(const SheetInput& input, const CutList& cuts) {
  const std::string unit{unit_name(input.units)};
  const std::string other = input.units == Units::kInches ? "mm" : "in";
  std::string all;
  if (!cuts.without_pipe.empty()) {
    all += paragraph("Without pipe, since only its points are described: " +
                     base::listed(cuts.without_pipe) + '.');
  }
  if (cuts.pieces.empty()) return all + paragraph("There is no pipe to cut.");
  all += paragraph(
      "Pipe lengths are what is left between two fittings: from joint to joint, less " +
      length_text(input.pipe.take_off, input.units) +
      " for each fitting (\"take_off\" in the prop file: from the middle of a fitting to where the "
      "pipe stops in it). Measure yours before you saw: dry-fit two fittings and a piece, measure "
      "from middle to middle, take off the piece, halve the rest. Saw one, dry-fit, then saw all.");
  if (!cuts.too_short.empty()) {
    all += "<div class=\"caution\">" +
           paragraph("No room for pipe: the fittings touch or overlap at " +
                     base::listed(cuts.too_short) + ". Check take_off, or move the joints.") +
           "</div>\n";
  }
  all += table("", {"", "Piece", "Count", "Length, " + unit, other, "Bars, from the marked end"},
               piece_rows(input, cuts));
  all += paragraph("Pieces " +
                   length_text(
                       [&cuts] {
                         Millimetres sum;
                         for (const Piece& piece : cuts.pieces) sum += piece.length;
                         return sum;
                       }(),
                       input.units) +
                   " + in fittings " + length_text(cuts.in_fittings, input.units) +
                   (cuts.beyond.value() > 0
                        ? " \xE2\x88\x92 beyond free ends " + length_text(cuts.beyond, input.units)
                        : "") +
                   " = " + length_text(cuts.along_bars, input.units) + " along the bars.");
  all +=
      "<h3>Drilling marks</h3>\n" +
      paragraph(std::string{input.units == Units::kInches ? "In inches" : "In millimetres"} +
                ", to the middle of each hole, along the pipe piece from its marked end: the end "
                "at the joint that the bar's name has first. All on one line, on the FRONT. Drill "
                "for the body of your pixel, snug (12 mm bodies: 12 mm, 15/32 in).");
  all += table("", {"", "Piece", "Holes", "Marks, " + unit}, hole_rows(input, cuts));
  const bool in_sockets = std::any_of(cuts.pieces.begin(), cuts.pieces.end(), [](const Piece& p) {
    return std::any_of(p.holes.begin(), p.holes.end(),
                       [](const Hole& hole) { return hole.in_fitting; });
  });
  if (in_sockets) {
    all += paragraph("* within " + length_text(socket_depth(input.pipe.outside), input.units) +
                     " of the end, so inside the fitting: put it together, then drill both.");
  }
  if (!cuts.drilled_fittings.empty()) {
    all += paragraph("These fittings have a pixel of their own, in their middle: " +
                     base::listed(cuts.drilled_fittings) + '.');
  }
  return all + packing_text(input, cuts) +
         paragraph(
             "Then check that both diagonals are equal, and drill a drain hole at the lowest point "
             "of every closed pipe. Goggles for sawing and drilling; air for cement; never heat "
             "PVC "
             "(it gives off acid).");
}

std::string parts_page(const SheetInput& input, const CutList& cuts) {
  const engine::PlannedProp& prop = *input.plan->props[input.prop];
  std::vector<std::vector<std::string>> rows;
  for (const Part& part : parts({.prop = &prop,
                          .cuts = &cuts,
                          .pipe = input.pipe,
                          .report = input.report,
                          .units = input.units})) {
    rows.push_back(
        {kTick, escaped(part.what), "<b>" + escaped(part.how_many) + "</b>", escaped(part.note)});
  }
  std::string all = table("parts", {"", "What", "How many", "Note"}, rows);
  std::vector<std::vector<std::string>> cut;
  for (const CutWire& wire : wires(prop)) {
    cut.push_back({kTick, escaped(wire.name), escaped(wire.size), std::to_string(wire.conductors),
                   length_text(wire.way, input.units),
                   "<b>" + length_text(wire.length, input.units) + "</b>"});
  }
  if (cut.empty()) return all;
  return all + "<h3>Wires to cut</h3>\n" +
         paragraph("Each conductor as long as its way and " + length_text(kAtEachEnd, input.units) +
                   " at each end, to strip, join and spare.") +
         table("", {"", "Wire", "Size", "Conductors", "Way", "Cut each"}, cut);
}

std::string labels_page(const SheetInput& input) {
  const engine::PlannedProp& prop = *input.plan->props[input.prop];
  const Chain chain = chain_of(*input.plan, input.prop);
  std::string all = paragraph(
      "Two of each: one for each end of the wire or run. Cut out, tape over against water.");
  all += "<div class=\"labels\">\n" + label("FRONT", prop.name + ", this side to the street") +
         label("TOP", prop.name + (prop.turned ? ", as built; it hangs upside down" : ""));
  const auto twice = [&all](const std::string& head, const std::string& text) {
    const std::string one = label(head, text);
    all += one + one;
  };
  twice("LEAD-IN", lead_label(*input.plan, input.prop));
  if (chain.after) twice("LEAD-OUT", prop.name + " to " + *chain.after);
  for (const CutWire& wire : wires(prop)) {
    if (wire.conductors != 2) continue;
    std::string text = prop.name + ", power only, " +
                       config::decimal(prop.pixel_power.volts.value()) + " V, " + wire.size;
    const std::string leg = wire.name.rfind("power at ", 0) == 0 ? wire.name.substr(9) : wire.name;
    for (const power::LegFuse& fuse : input.report->fuses) {
      if (fuse.leg == leg && fuse.fuse.amps) {
        text += ", fuse " + config::decimal(fuse.fuse.amps->value()) + " A";
      }
    }
    twice(wire.name, text);
  }
  const auto& splices = prop.map.splices();
  for (std::size_t i = 0; i < splices.size(); ++i) {
    const std::string from = std::to_string(splices[i].from.value());
    const std::string to = std::to_string(splices[i].from.next().value());
    twice("S" + std::to_string(i + 1) + ": " + from + " \xE2\x86\x92 " + to,
          prop.name + ", " + std::string{to_text(splices[i].way)} + ", data OUT of " + from +
              " to data IN of " + to);
  }
  const auto& runs = prop.map.runs();
  for (std::size_t r = 0; r < runs.size(); ++r) {
    twice("Run " + std::to_string(r + 1) + " \xE2\x86\x92",
          prop.name + ", pixels " + std::to_string(runs[r].first.value()) + " to " +
              std::to_string(runs[r].last.value()));
  }
  return all + "</div>\n";
}

}  // namespace panewalk::sheet
