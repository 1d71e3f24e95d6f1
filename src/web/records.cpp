#include "web/records.hpp"

namespace panewalk::web {

void Records::refresh(const std::string& site) {
  if (book_ == nullptr) return;
  auto newest = book_->newest();
  if (!newest) {
    trouble_ = std::move(newest).error();
    return;
  }
  if (newest.value() == newest_ && site == site_ && trouble_.empty()) return;
  auto entries = book_->entries(site);
  if (!entries) {
    trouble_ = std::move(entries).error();
    return;
  }
  entries_ = std::move(entries).value();
  newest_ = newest.value();
  site_ = site;
  trouble_.clear();
}

base::Problems Records::add(const std::string& site, check::Event event, std::int64_t at) {
  if (book_ == nullptr) return trouble_;
  auto entry = book_->add(site, std::move(event), at);
  if (!entry) return std::move(entry).error();
  refresh(site);
  return {};
}

}  // namespace panewalk::web
