(function () {
  function reveal() {
    var at = document.getElementById(location.hash.slice(1));
    if (!at) return;
    for (var up = at; up; up = up.parentElement) if (up.tagName === "DETAILS") up.open = true;
    at.scrollIntoView({ block: "center" });
  }
  addEventListener("hashchange", reveal);
  reveal();
})();
