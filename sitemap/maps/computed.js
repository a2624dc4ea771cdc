// What was computed, drawn over the ground and never touched: nearest lines, ways, areas, with a short label each.
function pitsteadComputed(map, looks, setup) {
  "use strict";
  var overlays = L.layerGroup().addTo(map), chips = [];
  function show(scene) {
    overlays.clearLayers();
    chips = [];
    scene.overlays.forEach(function (overlay) {
      var symbol = setup.overlays[overlay.style] || setup.unknown, type = overlay.geometry.type;
      var where = looks.latLngs(overlay.geometry.coordinates), layer = null;
      if (type === "Point") {
        layer = L.circleMarker(where, Object.assign(looks.lineStyle(symbol), {radius: 9, pane: "computed", interactive: false}));
      } else {
        layer = (type === "Polygon" ? L.polygon : L.polyline)(where, Object.assign(
          looks.lineStyle(symbol, type === "Polygon"), {pane: type === "Polygon" ? "areas" : "computed",
          interactive: false, fillOpacity: 0.12}));
      }
      layer.about = overlay.about;
      overlays.addLayer(layer);
      if (!overlay.label) return;
      var chip = looks.element("span", "", overlay.label);
      chip.style.borderColor = symbol.stroke;
      var holder = L.marker(type === "Point" ? where : layer.getCenter(), {interactive: false, keyboard: false,
        pane: "computed", icon: L.divIcon({className: "pit-chip pit-about", iconSize: null, html: chip})});
      overlays.addLayer(holder);
      holder.getElement().dataset.about = overlay.about;
      chips.push({node: holder.getElement(), at: holder.getLatLng(), about: overlay.about,
        binding: overlay.style === "too close" || overlay.style === "measure"});
    });
  }
  function fade(id) {                       // what belongs to a feature while that is being moved
    map.getContainer().querySelectorAll(".pit-about").forEach(function (node) {
      if (node.dataset.about === id) node.classList.add("pit-stale");
    });
    overlays.eachLayer(function (layer) {
      if (layer.about === id && layer.setStyle) layer.setStyle({opacity: 0.2, fillOpacity: 0.05});
    });
  }
  return {show: show, fade: fade, chips: function () { return chips; }};
}
