#include "find/words_places.hpp"

#include <algorithm>

#include "find/words.hpp"
#include "prop/place_words.hpp"

namespace panewalk::find {

using base::PixelIndex;
using practice::Subject;

namespace {

PixelIndex index_of(std::int32_t pixel) { return PixelIndex::of(static_cast<std::size_t>(pixel)); }

}  // namespace

StationIndex station_at(const Subject& subject, std::int32_t pixel) {
  return subject.map->station_of(index_of(pixel));
}

std::int32_t pixel_count(const Subject& subject) {
  return static_cast<std::int32_t>(subject.map->size());
}

std::string both_sides(const Subject& subject, StationIndex station) {
  const std::string front = prop::place_in_words(*subject.frame, station, prop::Side::kFront);
  const std::string back = prop::place_in_words(*subject.frame, station, prop::Side::kBack);
  if (front == back) return "FRONT and BACK: " + front;
  return "FRONT: " + front + "; BACK: " + back;
}

std::string pixel_text(const Subject& subject, std::int32_t pixel) {
  return "pixel " + std::to_string(pixel) + " at " +
         (*subject.frame)[station_at(subject, pixel)].name;
}

std::string pixel_and_place(const Subject& subject, std::int32_t pixel) {
  return pixel_text(subject, pixel) + " (" + both_sides(subject, station_at(subject, pixel)) + ')';
}

std::string splice_name(const Subject& subject, std::int32_t pixel) {
  const auto& splices = subject.map->splices();
  const auto found = std::find_if(
      splices.begin(), splices.end(),
      [pixel](const wiring::Splice& splice) { return splice.from == index_of(pixel); });
  if (found == splices.end()) return "";
  return "S" + std::to_string(found - splices.begin() + 1);
}

std::int32_t spares_after(const Subject& subject, std::int32_t pixel) {
  std::int32_t count = 0;
  for (const wiring::Spares& spares : subject.map->spares()) {
    if (spares.after == pixel) count += spares.count;
  }
  return count;
}

std::string counted(std::int32_t count, const char* one, const char* many) {
  if (count == 0) return std::string{"no "} + many;
  return std::to_string(count) + ' ' + (count == 1 ? one : many);
}

PixelRange pixels_in_universe(const Subject& subject, std::int32_t universe) {
  PixelRange range;
  const std::size_t channels = subject.format.order.channels();
  for (std::int32_t i = 1; i <= pixel_count(subject); ++i) {
    const std::size_t slot = subject.patch->slot_of(index_of(i));
    const bool in = subject.patch->channel_of(slot, 0).universe == universe ||
                    subject.patch->channel_of(slot, channels - 1).universe == universe;
    if (!in) continue;
    if (range.first == 0) range.first = i;
    range.last = i;
  }
  return range;
}

std::string prop_name(const Subject& subject, std::size_t prop) {
  return base::quoted(subject.prop_names[prop]);
}

std::string number(std::int64_t value) { return std::to_string(value); }

std::string capital(std::string text) {
  if (!text.empty() && text.front() >= 'a' && text.front() <= 'z') {
    text.front() = static_cast<char>(text.front() - 'a' + 'A');
  }
  return text;
}

std::string wire_after(const Subject& subject, std::int32_t pixel) {
  const std::string next = std::to_string(pixel + 1);
  const std::string name = splice_name(subject, pixel);
  if (name.empty()) return "the wire to pixel " + next;
  const std::string way{to_text(subject.map->reached_by(index_of(pixel + 1)))};
  return "splice " + name + " (" + way + " from pixel " + std::to_string(pixel) + " to " + next +
         ')';
}

}  // namespace panewalk::find
