#include "find/question.hpp"

namespace panewalk::find {

std::string_view to_text(Ask ask) {
  switch (ask) {
    case Ask::kSame: return "same";
    case Ask::kWhere: return "where";
    case Ask::kOther: return "other";
    case Ask::kLastLit: return "last-lit";
    case Ask::kColours: return "colours";
    case Ask::kHold: return "hold";
  }
  return "";
}

light::Colour Painter::light_of(SeenColour colour, std::uint8_t level) const {
  if (colour == SeenColour::kWhite && subject_->format.order.has_white()) return {0, 0, 0, level};
  const light::Colour full = practice::full(colour);
  const auto scaled = [level](std::uint8_t on) { return on != 0 ? level : std::uint8_t{0}; };
  return {scaled(full.red), scaled(full.green), scaled(full.blue), 0};
}

void Painter::paint(Picture& picture, std::int32_t pixel, SeenColour colour,
                    std::uint8_t level) const {
  const auto index = base::PixelIndex::of(static_cast<std::size_t>(pixel));
  picture[subject_->patch->slot_of(index)] = light_of(colour, level);
}

Picture Painter::all(SeenColour colour, std::uint8_t level) const {
  Picture picture = dark();
  const auto pixels = static_cast<std::int32_t>(subject_->map->size());
  for (std::int32_t i = 1; i <= pixels; ++i) paint(picture, i, colour, level);
  return picture;
}

Picture Painter::some(const std::vector<std::int32_t>& pixels, SeenColour colour) const {
  Picture picture = dark();
  for (const std::int32_t pixel : pixels) paint(picture, pixel, colour);
  return picture;
}

std::string pixels_in_words(const std::vector<std::int32_t>& pixels) {
  if (pixels.empty()) return "nothing";
  if (pixels.size() == 1) return "pixel " + std::to_string(pixels.front());
  const auto last = static_cast<std::size_t>(pixels.back() - pixels.front()) + 1;
  if (pixels.size() > 2 && last == pixels.size()) {
    return "pixels " + std::to_string(pixels.front()) + " to " + std::to_string(pixels.back());
  }
  std::vector<std::string> names;
  names.reserve(pixels.size());
  for (const std::int32_t pixel : pixels) names.push_back(std::to_string(pixel));
  return "pixels " + base::listed(names);
}

}  // namespace panewalk::find
