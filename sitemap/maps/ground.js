// The ground under everything: graticule, north, scale, a picture where there is one.
function pitsteadGround(map, element, showWhole) {
  "use strict";
  var grid = L.layerGroup().addTo(map), picture = null, scale = null;
  var STEPS = [30, 10, 5, 2, 1];
  function step(least) {
    if (least >= 1) return STEPS.filter(function (s) { return s >= least; }).pop() || 30;
    var power = Math.pow(10, Math.ceil(Math.log10(least)));
    return [0.2, 0.5, 1].map(function (s) { return s * power; }).filter(function (s) { return s >= least * 0.999; })[0];
  }
  function showGrid() {
    grid.clearLayers();
    var view = map.getBounds(), size = map.getSize(), gap = step((view.getEast() - view.getWest()) / size.x * 150);
    var decimals = Math.max(0, Math.ceil(-Math.log10(gap) - 1e-9));
    function line(a, b) {
      L.polyline([a, b], {pane: "ground", color: "#b9c0b2", weight: 1, interactive: false}).addTo(grid);
    }
    function label(latLng, text, className) {
      L.marker(latLng, {interactive: false, keyboard: false, pane: "ground", icon: L.divIcon(
        {className: "pit-degree " + className, iconSize: null, html: element("span", "", text)})}).addTo(grid);
    }
    var first, value, number;
    for (first = Math.ceil(view.getWest() / gap), number = 0; (value = (first + number) * gap) < view.getEast()
        && number < 40; number++) {
      line([view.getSouth(), value], [view.getNorth(), value]);
      var lon = ((value + 180) % 360 + 360) % 360 - 180;
      label([view.getNorth(), value], Math.abs(lon).toFixed(decimals) + "° " + (lon < 0 ? "W" : "E"), "pit-north-edge");
    }
    for (first = Math.ceil(view.getSouth() / gap), number = 0; (value = (first + number) * gap) < view.getNorth()
        && number < 40; number++) {
      line([value, view.getWest()], [value, view.getEast()]);
      label([value, view.getEast()], Math.abs(value).toFixed(decimals) + "° " + (value < 0 ? "S" : "N"), "pit-east-edge");
    }
  }
  var whole = L.control({position: "topleft"});
  whole.onAdd = function () {
    var bar = element("div", "leaflet-bar"), link = element("a", "pit-whole", "⤢");
    link.href = "#";
    link.title = "Show the whole site";
    link.setAttribute("role", "button");
    link.setAttribute("aria-label", link.title);
    L.DomEvent.disableClickPropagation(bar);
    L.DomEvent.on(link, "click", function (event) { L.DomEvent.stop(event); showWhole(); });
    bar.appendChild(link);
    return bar;
  };
  whole.addTo(map);
  var north = L.control({position: "topleft"});
  north.onAdd = function () {
    var made = element("div", "pit-north", "N");
    made.insertBefore(element("span", "", "▲"), made.firstChild);
    made.title = "North is up";
    return made;
  };
  north.addTo(map);
  function show(scene, old) {
    if (!scale || old.units !== scene.units) {
      if (scale) scale.remove();
      scale = L.control.scale({position: "topright", maxWidth: 110, metric: scene.units !== "us",
        imperial: scene.units === "us"}).addTo(map);
    }
    if (old && JSON.stringify(old.backdrop) === JSON.stringify(scene.backdrop)) return;
    if (picture) map.removeLayer(picture);
    var b = scene.backdrop && scene.backdrop.bounds;
    picture = b ? L.imageOverlay(scene.backdrop.address, [[b[1], b[0]], [b[3], b[2]]], {pane: "ground"}).addTo(map) : null;
  }
  return {show: show, showGrid: showGrid};
}
