#include "io/handle.hpp"

#include <unistd.h>

namespace panewalk::io {

Handle::~Handle() {
  if (is_open()) ::close(descriptor_);
}

}  // namespace panewalk::io
