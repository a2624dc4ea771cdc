// How things look and where they are: page elements, symbols, lines, coordinates with every number kept. Texts are set as text, never as markup.
function pitsteadLooks(setup) {
  "use strict";
  function element(tag, className, text) {
    var made = document.createElement(tag);
    made.className = className || "";
    if (text) made.textContent = text;
    return made;
  }
  function button(text, action, className) {
    var made = element("button", "pit-button " + (className || ""), text);
    made.type = "button";
    made.addEventListener("click", action);
    return made;
  }
  function svg(tag, attributes, text) {
    var made = document.createElementNS("http://www.w3.org/2000/svg", tag);
    Object.keys(attributes).forEach(function (name) { made.setAttribute(name, attributes[name]); });
    if (text) made.textContent = text;
    return made;
  }
  function symbolOf(kind) {
    return Object.prototype.hasOwnProperty.call(setup.symbols, kind) ? setup.symbols[kind] : setup.unknown;
  }
  function symbolPicture(kind, verdict, small) {
    var symbol = symbolOf(kind), picture = svg("svg", {viewBox: "-22 -22 44 44", width: 44, height: 44});
    var size = small ? 9.5 : 11.5, mark = setup.verdicts[verdict];
    var corners = setup.outlines[symbol.shape].map(function (c) { return c[0] * size + "," + -c[1] * size; });
    if (mark) {
      var ring = {cx: 0, cy: 0, r: 17.5, fill: "none", stroke: mark.colour, "stroke-width": 4};
      picture.appendChild(svg("circle", Object.assign({}, ring, {stroke: "#fff", "stroke-width": 6})));
      if (mark.ring === "half") ring["stroke-dasharray"] = "8 5.7";
      picture.appendChild(svg("circle", ring));
      if (mark.ring === "cross") picture.appendChild(svg("path",
        {d: "M-20-20L20 20M20-20L-20 20", stroke: mark.colour, "stroke-width": 3.5}));
    }
    picture.appendChild(svg("polygon", {points: corners.join(" "), fill: symbol.fill, stroke: symbol.stroke,
      "stroke-width": small ? 1.6 : 2.2, "stroke-linejoin": "round"}));
    picture.appendChild(svg("text", {x: 0, y: symbol.shape === "triangle" ? 4 : 3.8, "text-anchor": "middle",
      "font-size": symbol.letter.length > 1 ? 9 : 12, "font-weight": 700, fill: symbol.stroke}, symbol.letter));
    if (mark) {
      picture.appendChild(svg("circle", {cx: 15, cy: -14, r: 7, fill: mark.colour, stroke: "#fff"}));
      picture.appendChild(svg("text", {x: 15, y: -10.4, "text-anchor": "middle", "font-size": 10, "font-weight": 700,
        fill: "#fff"}, mark.sign));
    }
    return picture;
  }
  function linePicture(symbol, area) {
    var picture = svg("svg", {viewBox: "0 0 44 28", width: 44, height: 28});
    var look = {fill: "none", stroke: symbol.stroke, "stroke-width": Math.min(symbol.weight, 4),
      "stroke-dasharray": symbol.dash.join(" ")};
    picture.appendChild(area ? svg("rect", Object.assign({x: 4, y: 4, width: 36, height: 20}, look,
      symbol.fill === "none" ? {} : {fill: symbol.fill, "fill-opacity": 0.2})) : svg("path", Object.assign({d: "M2 14H42"}, look)));
    return picture;
  }
  function keyPicture(kind, type) {         // a line or an area with its badge, as it stands on the map
    if (type === "Point") return symbolPicture(kind);
    var picture = symbolPicture(kind, null, true), under = linePicture(symbolOf(kind), type === "Polygon");
    var line = under.firstChild;
    line.setAttribute("transform", "translate(-22 -14)");
    picture.insertBefore(line, picture.firstChild);
    return picture;
  }
  function markIcon(feature, small) {
    var holder = element("div", "pit-mark");
    holder.appendChild(symbolPicture(feature.kind, feature.verdict, small));
    if (feature.label) holder.appendChild(element("span", "pit-label", feature.label));
    return L.divIcon({className: "pit-icon", iconSize: [44, 44], html: holder});
  }
  function lineStyle(symbol, filled) {
    return {color: symbol.stroke, weight: symbol.weight, dashArray: symbol.dash.join(" ") || null, opacity: 1,
      fill: filled && symbol.fill !== "none", fillColor: symbol.fill, fillOpacity: 0.35};
  }
  function latLngs(coordinates) {
    return typeof coordinates[0] === "number" ? L.latLng(coordinates[1], coordinates[0], coordinates[2])
      : coordinates.map(latLngs);
  }
  function place(latLng) {
    return latLng.alt === undefined ? [latLng.lng, latLng.lat] : [latLng.lng, latLng.lat, latLng.alt];
  }
  return {latLngs: latLngs, place: place, element: element, button: button, symbolOf: symbolOf, symbolPicture: symbolPicture, markIcon: markIcon,
    lineStyle: lineStyle, linePicture: linePicture, keyPicture: keyPicture};
}
