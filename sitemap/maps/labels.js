// Which names are written, and on which side: none over another or over a symbol. What matters most is written first;
// close by, every name is. Badges of lines and areas stand where they hide no place.
function pitsteadLabels(map, setup) {
  "use strict";
  var CLOSE = 19.5, SYMBOL = 15, BADGE = 11, LINE = 18;
  var FIRST = ["kiln_spot", "pile", "windrow", "water_source", "structure", "power_line", "smoke_place", "fuel_store",
    "standing_timber", "road", "logged_area"];
  var widths = {};
  function rank(entry) {
    var place = FIRST.indexOf(entry.feature.kind);
    return place < 0 ? FIRST.length : place;
  }
  function widthOf(node, text) {
    if (!widths[text] && node.offsetWidth) widths[text] = node.offsetWidth;
    return widths[text] || 60;
  }
  function around(point, half, high) {
    high = high || half;
    return [point.x - half, point.y - high, point.x + half, point.y + high];
  }
  function meets(a, b) { return a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3]; }
  function free(rect, taken) { return !taken.some(function (other) { return meets(rect, other); }); }
  function inside(rect, view) {
    return rect[0] >= view.min.x && rect[2] <= view.max.x && rect[1] >= view.min.y && rect[3] <= view.max.y;
  }

  // Places along a line, or in an area and then along its edge, at which its badge may stand.
  function spotsOn(entry) {
    var rings = entry.path.getLatLngs(), area = entry.feature.geometry.type === "Polygon";
    var ring = (area ? rings[0].concat([rings[0][0]]) : rings).map(function (c) { return map.latLngToLayerPoint(c); });
    var found = [map.latLngToLayerPoint(entry.path.getCenter())], lengths = [0];
    for (var n = 1; n < ring.length; n++) lengths.push(lengths[n - 1] + ring[n].distanceTo(ring[n - 1]));
    var whole = lengths[lengths.length - 1];
    [0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9].forEach(function (share) {
      var n = 1;
      while (n < ring.length - 1 && lengths[n] < share * whole) n++;
      var along = (share * whole - lengths[n - 1]) / ((lengths[n] - lengths[n - 1]) || 1);
      if (ring[n]) found.push(ring[n - 1].add(ring[n].subtract(ring[n - 1]).multiplyBy(along)));
    });
    return found;
  }
  function badge(entry, taken, view) {
    var spots = spotsOn(entry), free_ = spots.filter(function (point) { return free(around(point, BADGE), taken); });
    var seen = free_.filter(function (point) { return inside(around(point, BADGE), view); });
    var chosen = seen[0] || free_[0] || spots[0];
    entry.mark.setLatLng(chosen === spots[0] ? entry.path.getCenter() : map.layerPointToLatLng(chosen));
    return around(chosen, BADGE);
  }

  function name(entry, taken, view, always) {
    var holder = entry.mark.getElement(), node = holder && holder.querySelector(".pit-label");
    if (!node) return;
    var at = map.latLngToLayerPoint(entry.mark.getLatLng()), wide = widthOf(node, node.textContent);
    var off = entry.feature.verdict ? 21 : entry.path ? 14 : 17;
    var sides = {
      right: [at.x + off, at.y - LINE / 2, at.x + off + wide, at.y + LINE / 2],
      left: [at.x - off - wide, at.y - LINE / 2, at.x - off, at.y + LINE / 2],
      below: [at.x - wide / 2, at.y + off, at.x + wide / 2, at.y + off + LINE],
      above: [at.x - wide / 2, at.y - off - LINE, at.x + wide / 2, at.y - off]
    };
    var side = Object.keys(sides).filter(function (key) {
      return free(sides[key], taken) && inside(sides[key], view);
    })[0];
    node.className = "pit-label pit-" + (side || "right") + (side || always ? "" : " pit-hushed");
    node.style.setProperty("--off", off + "px");
    if (side || always) taken.push(sides[side || "right"]);
  }

  function arrange(entries, chips, selected) {
    var view = map.getPixelBounds(), origin = map.getPixelOrigin();
    view = L.bounds(view.min.subtract(origin), view.max.subtract(origin));
    var near = L.bounds(view.min.subtract([60, 60]), view.max.add([60, 60]));
    var shown = entries.filter(function (entry) {
      return entry.path || near.contains(map.latLngToLayerPoint(entry.mark.getLatLng()));
    });
    shown.sort(function (a, b) {
      return (b.feature.id === selected) - (a.feature.id === selected) || rank(a) - rank(b);
    });
    var taken = shown.filter(function (entry) { return !entry.path; }).map(function (entry) {
      return around(map.latLngToLayerPoint(entry.mark.getLatLng()), entry.feature.verdict ? 20 : SYMBOL - 2);
    });
    shown.forEach(function (entry) { if (entry.path) taken.push(badge(entry, taken, view)); });
    function chip(made) {
      var node = made.node.firstChild, at = map.latLngToLayerPoint(made.at);
      var rect = around(at, widthOf(node, "chip " + node.textContent) / 2, 11), clear = free(rect, taken);
      clear = clear || made.binding;        // what binds is always said
      made.node.classList.toggle("pit-hushed", !clear);
      if (clear) taken.push(rect);
    }
    var own = chips.filter(function (made) { return made.about; })
      .sort(function (a, b) { return b.binding - a.binding; });
    if (selected !== null) shown.filter(function (entry) { return entry.feature.id === selected; })
      .forEach(function (entry) { name(entry, taken, view, true); });
    own.forEach(chip);
    var close = map.getZoom() >= CLOSE;
    shown.forEach(function (entry) { if (entry.feature.id !== selected) name(entry, taken, view, close); });
    chips.filter(function (made) { return !made.about; }).forEach(chip);
  }
  return {arrange: arrange};
}
