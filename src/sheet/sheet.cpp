#include "sheet/sheet.hpp"

#include "sheet/cut_list.hpp"
#include "sheet/drawing.hpp"
#include "sheet/pages.hpp"
#include "sheet/steps.hpp"

namespace panewalk::sheet {
namespace {

constexpr std::string_view kBegins =
    "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
    "<meta name=\"generator\" content=\"Panewalk\">\n";
constexpr std::string_view kDrawingBegins =
    "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"pw-drawing\"";

constexpr const char* kStyle =
    "html{background:#fff}"
    "body{font:10.5pt/1.35 'DejaVu Sans',Arial,Helvetica,sans-serif;color:#000;margin:0 auto;"
    "max-width:184mm;font-size-adjust:none}"
    "h1{font-size:20pt;margin:0 0 1mm}h2{font-size:15pt;margin:0 0 2.5mm;border-bottom:.5mm solid "
    "#000;padding-bottom:1mm}h3{font-size:11.5pt;margin:5mm 0 1.5mm;break-after:avoid}"
    "p{margin:0 0 2mm}section{break-before:page}section.with-last{break-before:auto;margin-top:8mm}"
    ".about{font-size:12pt}.small{font-size:9pt}"
    "table{border-collapse:collapse;width:100%;margin:0 0 3mm}"
    "th,td{border:.25mm solid #000;padding:1mm 1.6mm;text-align:left;vertical-align:top;"
    "overflow-wrap:break-word}th{background:#e6e6e6}thead{display:table-header-group}"
    "tr,li,.label,figure{break-inside:avoid}"
    "td.box,th.box{width:7mm;text-align:center}td.number,th.number{text-align:right;"
    "white-space:nowrap}"
    ".tick{display:inline-block;width:4.2mm;height:4.2mm;border:.4mm solid #000;"
    "vertical-align:-.8mm;box-sizing:border-box}"
    "table.plain td,table.plain th{border-width:0 0 .2mm}"
    "table.plain td+td{overflow-wrap:anywhere}table.plain td:first-child{width:40mm}"
    "table.steps{table-layout:fixed}table.steps th.box{width:8mm}table.steps th.title{width:33mm}"
    "table.parts td:nth-child(3){white-space:nowrap}"
    "tr.test td{background:#e6e6e6}tr.splice td{border-left-width:1mm}"
    "td.write{width:42mm;height:11mm}td.yes{white-space:nowrap;width:26mm}"
    "ul{margin:0 0 2mm;padding-left:5mm}li{margin-bottom:1.1mm}"
    ".caution{border:.5mm solid #000;padding:2mm 3mm;margin:3mm 0}"
    ".caution h3{margin-top:0}"
    "figure{margin:0}figure svg{display:block;max-width:100%;height:auto}"
    ".labels{display:flex;flex-wrap:wrap;gap:2mm}"
    ".label{border:.3mm dashed #000;width:57mm;min-height:15mm;padding:1.5mm;box-sizing:border-box;"
    "font-size:9.5pt;overflow-wrap:anywhere}.label b{font-size:12pt}"
    ".holes{line-height:1.6}.hole{white-space:nowrap}"
    "@media screen{body{padding:6mm}section{margin-top:14mm}}"
    "@media print{body{max-width:none}*{-webkit-print-color-adjust:exact;"
    "print-color-adjust:exact}}";

/// The prop's name and the page at the foot of each page; the margins hold on A4 and on Letter.
std::string page_style(const SheetInput& input) {
  const std::string name =
      css_string(input.plan->props[input.prop]->name + ", " + input.plan->site + ", " + input.date);
  return "@page{margin:12mm 12mm 14mm;@bottom-left{content:" + name +
         ";font:8pt 'DejaVu Sans',Arial,sans-serif}@bottom-right{content:counter(page) \" / \" "
         "counter(pages);font:8pt 'DejaVu Sans',Arial,sans-serif}}";
}

std::string section(const SheetInput& input, const char* title, const std::string& body) {
  return "<section>\n<h2>" + std::string{title} + ": " +
         escaped(input.plan->props[input.prop]->name) + "</h2>\n" + body + "</section>\n";
}

std::string first_page(const SheetInput& input, const CutList& cuts) {
  const engine::PlannedProp& prop = *input.plan->props[input.prop];
  const wiring::PixelMap& map = prop.map;
  std::string all = "<h1>" + escaped(prop.name) + "</h1>\n";
  if (!prop.about.empty()) all += paragraph(prop.about, "about");
  const auto row = [](const char* name, const std::string& value) {
    return std::vector<std::string>{std::string{"<b>"} + name + "</b>", escaped(value)};
  };
  base::Point least = prop.frame.stations().front().at;
  base::Point most = least;
  for (const prop::Station& station : prop.frame.stations()) {
    least = {std::min(least.x, station.at.x), std::min(least.y, station.at.y)};
    most = {std::max(most.x, station.at.x), std::max(most.y, station.at.y)};
  }
  std::vector<std::vector<std::string>> rows{
      row("Site", input.plan->site + ", sheet of " + input.date),
      row("Size", length_text(most.x - least.x, input.units) + " wide, " +
                      length_text(most.y - least.y, input.units) +
                      " high, from the middle of a pixel to the middle of a pixel"),
      row("Pixels", counted(map.size(), "pixel", "pixels") + " in " +
                        counted(map.runs().size(), "run", "runs")),
      row("Splices", counted(map.count(wiring::ReachedBy::kHop), "hop", "hops") + " and " +
                         counted(map.count(wiring::ReachedBy::kJump), "jump", "jumps") + ", " +
                         length_text(map.splice_wire(), input.units) + " along the bars"),
      row("Pipe", cuts.pieces.empty() ? std::string{"none"}
                                      : counted(cuts.pieces.size(), "piece", "pieces") + " from " +
                                            counted(cuts.packing.sticks.size(), "stick", "sticks") +
                                            " of " + length_text(input.pipe.stock, input.units)),
      row("Lead-in", lead_label(*input.plan, input.prop))};
  if (prop.turned) rows.push_back(row("Hangs", "upside down; drawn and built upright"));
  return all + table("plain", {}, rows) + cautions();
}

std::string steps_page(const SheetInput& input) {
  std::string all = paragraph(
      "As it is done, from the BACK. Left, right and clockwise are as you see them from the back. "
      "Names in brackets are those of the drawings and of the map. Where a place falls between two "
      "numbers, count from the nearest number in the BACK drawing.");
  std::vector<std::vector<std::string>> rows;
  all +=
      "<table class=\"steps\"><thead><tr><th class=\"box\"></th><th "
      "class=\"title\">Step</th><th>From the BACK"
      "</th></tr></thead><tbody>\n";
  std::size_t number = 0;
  for (const Step& step : wiring_steps(*input.plan, input.prop, input.units)) {
    const char* style = step.kind == Step::Kind::kTest     ? " class=\"test\""
                        : step.kind == Step::Kind::kSplice ? " class=\"splice\""
                                                           : "";
    const std::string title = std::to_string(++number) + ". " + escaped(step.title);
    all += std::string{"<tr"} + style + "><td class=\"box\">" + kTick + "</td><td>" +
           (step.bold ? "<b>" + title + "</b>" : title) + "</td><td>" + escaped(step.text) +
           "</td></tr>\n";
  }
  return all + "</tbody></table>\n";
}

std::string figure(const SheetInput& input, prop::Side side) {
  return "<figure>" +
         drawing_svg(*input.plan->props[input.prop], side,
                     {.units = input.units, .pipe = input.pipe}) +
         "</figure>\n";
}

}  // namespace

std::string sheet_html(const SheetInput& input) {
  const engine::PlannedProp& prop = *input.plan->props[input.prop];
  const CutList cuts = cut_list(prop.frame, input.pipe);
  return std::string{kBegins} + "<title>" + escaped(prop.name) +
         ", workbench sheet</title>\n<style>" + kStyle + page_style(input) +
         "</style>\n</head>\n<body>\n" + first_page(input, cuts) +
         section(input, "Seen from the FRONT", figure(input, prop::Side::kFront)) +
         section(input, "Seen from the BACK", figure(input, prop::Side::kBack)) +
         section(input, "Wiring steps", steps_page(input)) +
         section(input, "Cut list", cut_page(input, cuts)) +
         section(input, "Parts", parts_page(input, cuts)) +
         section(input, "Patch", patch_page(input)) + section(input, "Labels", labels_page(input)) +
         section(input, "Power", power_page(input)) +
         section(input, "Bench check", bench_page(input)) + "</body>\n</html>\n";
}

bool is_ours(std::string_view text) {
  return text.substr(0, kBegins.size()) == kBegins ||
         text.substr(0, kDrawingBegins.size()) == kDrawingBegins;
}

}  // namespace panewalk::sheet
