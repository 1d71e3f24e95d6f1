// Before anything is painted, so that a night look never flashes bright.
(function () {
  var look = null;
  try { look = localStorage.getItem("panewalk.look"); } catch (refused) { look = null; }
  var night = look === "night" ||
    (look !== "day" && window.matchMedia("(prefers-color-scheme: dark)").matches);
  document.documentElement.dataset.look = night ? "night" : "day";
})();
