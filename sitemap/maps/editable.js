// Draws the scene Python sends and reports what a person did to it, as numbered acts.
// Every text reaches the page through textContent: a name is never markup. The scene can change as often as it likes
// without the map loading anew; a scene older than the person's last act is passed over.
function pitsteadMap(map, setup) {
  "use strict";
  var WORK = ["logged_area", "pile", "windrow", "transect", "kiln_spot", "water_source", "hose_lay", "structure"];
  var load = Date.now() + "-" + Math.random();
  var acts = [], count = 0, drawn = {}, scene = null, waiting = null, holding = false, pressed = false, lifted = 0;
  var selected = null, asked = null, corner = null, draft = null, fitted = null;
  var box = map.getContainer();
  ["ground", "areas", "computed"].forEach(function (name, order) {   // areas under what is drawn, lines and labels over it
    map.createPane(name).style.zIndex = [250, 390, 450][order];
    map.getPane(name).style.pointerEvents = "none";
  });
  var looks = pitsteadLooks(setup), element = looks.element, lineStyle = looks.lineStyle;
  var symbolOf = looks.symbolOf, markIcon = looks.markIcon;
  var latLngs = looks.latLngs, place = looks.place;
  var ground = pitsteadGround(map, element, function () { if (scene) whole(true); });
  var computed = pitsteadComputed(map, looks, setup), labels = pitsteadLabels(map, setup);
  var fresh = L.layerGroup().addTo(map), handles = L.layerGroup().addTo(map);

  // ---- geometry, every number kept as it is
  function ringsOf(entry) {
    return entry.feature.geometry.type === "Polygon" ? entry.path.getLatLngs() : [entry.path.getLatLngs()];
  }
  function geometryOf(entry) {
    var type = entry.feature.geometry.type;
    if (type === "Point") return {type: type, coordinates:
      place(entry.mark.getLatLng()).slice(0, 2).concat(entry.feature.geometry.coordinates.slice(2))};
    var rings = ringsOf(entry).map(function (ring) { return ring.map(place); });
    if (type === "LineString") return {type: type, coordinates: rings[0]};
    return {type: type, coordinates: rings.map(function (ring) { return ring.concat([ring[0]]); })};
  }

  // ---- telling Python
  function tell(act) {
    act.load = load;
    act.n = ++count;
    act.selected = selected;
    if (act.do === "moved") acts = acts.filter(function (old) {   // only where it ended up matters
      return old.do !== "moved" || old.id !== act.id || String(old.part) !== String(act.part);
    });
    acts = acts.concat([act]).slice(-200);
    var known = window.__GLOBAL_DATA__;
    if (!known) return;                                            // a page that stands alone has nobody to tell
    known.all_drawings = acts;                                     // sent at once; the component would wait 250 ms
    known.previous_data = {all_drawings: acts};
    window.Streamlit.setComponentValue(known.previous_data);
  }

  // ---- features
  function keyOf(feature) { return JSON.stringify([feature.id, feature.part]); }
  function entriesOf(id) {
    return Object.keys(drawn).map(function (key) { return drawn[key]; })
      .filter(function (entry) { return entry.feature.id === id; });
  }
  function drop(key) {
    var entry = drawn[key];
    map.removeLayer(entry.mark);
    if (entry.path) map.removeLayer(entry.path);
    delete drawn[key];
  }
  function draw(feature) {
    var entry = {feature: feature, text: JSON.stringify(feature)}, type = feature.geometry.type;
    var where = latLngs(feature.geometry.coordinates);
    if (type !== "Point") {
      entry.path = (type === "Polygon" ? L.polygon : L.polyline)(where,
        lineStyle(symbolOf(feature.kind), type === "Polygon")).addTo(map);
      entry.path.on("click", function (event) { touched(feature.id, event); });
      where = entry.path.getCenter();
    }
    entry.mark = L.marker(where, {icon: markIcon(feature, type !== "Point"), draggable: !!scene.tools.length,
      autoPan: true, title: feature.name, alt: feature.name, zIndexOffset: type === "Point" ? 500 : 0}).addTo(map);
    entry.mark.on("click", function (event) { touched(feature.id, event); });
    entry.mark.on("dragstart", function () {
      hold(feature.id);
      entry.from = map.latLngToLayerPoint(entry.mark.getLatLng());
      entry.rings = entry.path && ringsOf(entry).map(function (ring) {
        return ring.map(function (latLng) { return [map.project(latLng), latLng.alt]; });
      });
      entry.start = map.project(entry.mark.getLatLng());
    });
    entry.mark.on("drag", function () {
      if (!entry.path) return;
      var by = map.project(entry.mark.getLatLng()).subtract(entry.start);
      var rings = entry.rings.map(function (ring) {
        return ring.map(function (corner) {
          var moved = map.unproject(corner[0].add(by));
          return L.latLng(moved.lat, moved.lng, corner[1]);
        });
      });
      entry.path.setLatLngs(type === "Polygon" ? rings : rings[0]);
    });
    entry.mark.on("dragend", function () { letGo(entry); });
    [entry.mark, entry.path].forEach(function (layer) {
      var node = layer && layer.getElement();
      if (node) Object.assign(node.dataset, {feature: feature.id, part: String(feature.part)});
    });
    drawn[keyOf(feature)] = entry;
    dress(entry);
  }
  function dress(entry) {
    var on = entry.feature.id === selected, holder = entry.mark.getElement();
    if (holder) holder.classList.toggle("pit-selected", on);
    if (entry.path) entry.path.setStyle({weight: symbolOf(entry.feature.kind).weight + (on ? 2 : 0)});
  }
  function arrange() {
    labels.arrange(Object.keys(drawn).map(function (key) { return drawn[key]; }), computed.chips(), selected);
  }
  function hold(id) {                       // a hand is on it: what was computed for it no longer holds
    holding = true;
    select(id, true);
    computed.fade(id);
  }
  function letGo(entry) {
    holding = false;
    var feature = entry.feature;
    entry.text = "";                        // the next scene decides where it stands
    tell({do: "moved", id: feature.id, part: feature.part, geometry: geometryOf(entry)});
    showHandles();
    arrange();
    if (waiting) sync(waiting);
  }
  function touched(id, event) {
    L.DomEvent.stop(event);
    if (id === selected) return;
    select(id);
    tell({do: "selected", id: id});
  }
  function select(id, quietly) {
    if (id === selected) return;
    selected = id;
    corner = null;
    Object.keys(drawn).forEach(function (key) { dress(drawn[key]); });
    if (!quietly) showHandles();
    else handles.clearLayers();
    if (!quietly) arrange();
    bar.show();
  }

  // ---- corners of the selected line or polygon
  function dot(latLng, className) {
    return L.marker(latLng, {draggable: true, autoPan: true, zIndexOffset: 1000, keyboard: false,
      icon: L.divIcon({className: "pit-handle " + className, iconSize: [32, 32], html: element("i")})}).addTo(handles);
  }
  function showHandles() {
    handles.clearLayers();
    if (selected === null || draft || !scene.tools.length) return;
    entriesOf(selected).forEach(function (entry) {
      if (!entry.path) return;
      ringsOf(entry).forEach(function (ring, ringNumber) {
        var view = map.getBounds().pad(0.1), closed = entry.feature.geometry.type === "Polygon";
        ring.forEach(function (latLng, number) {
          var next = ring[number + 1] || (closed ? ring[0] : null);
          if (view.contains(latLng)) cornerHandle(entry, ringNumber, number, latLng, false);
          if (!next) return;
          var a = map.latLngToLayerPoint(latLng), b = map.latLngToLayerPoint(next);
          var middle = map.layerPointToLatLng(a.add(b).divideBy(2));
          if (a.distanceTo(b) > 80 && view.contains(middle)) cornerHandle(entry, ringNumber, number + 1, middle, true);
        });
      });
    });
  }
  function cornerHandle(entry, ringNumber, number, latLng, added) {
    var handle = dot(latLng, added ? "pit-between" : "pit-corner"), at = number;
    if (corner && !added && corner.entry === entry && corner.ring === ringNumber && corner.number === number) {
      handle.getElement().classList.add("pit-chosen");
    }
    handle.on("dragstart", function () {
      hold(entry.feature.id);
      if (added) ringsOf(entry)[ringNumber].splice(at, 0, handle.getLatLng());
    });
    handle.on("drag", function () {
      var ring = ringsOf(entry)[ringNumber], moved = handle.getLatLng();
      ring[at] = L.latLng(moved.lat, moved.lng, ring[at].alt);
      entry.path.redraw();
    });
    handle.on("dragend", function () { corner = null; letGo(entry); bar.show(); });
    handle.on("click", function (event) {
      L.DomEvent.stop(event);
      if (added) return;
      corner = {entry: entry, ring: ringNumber, number: number};
      showHandles();
      bar.show();
    });
  }
  function cornersToSpare() {
    if (!corner) return false;
    return ringsOf(corner.entry)[corner.ring].length > (corner.entry.feature.geometry.type === "Polygon" ? 3 : 2);
  }
  function removeCorner() {
    ringsOf(corner.entry)[corner.ring].splice(corner.number, 1);
    var entry = corner.entry;
    corner = null;
    entry.path.redraw();
    letGo(entry);
    bar.show();
  }

  // ---- adding
  function begin(tool, shape) {
    select(null);
    box.classList.add("pit-drawing");
    map.doubleClickZoom.disable();
    draft = {tool: tool, shape: shape, places: [], path: null, dots: L.layerGroup().addTo(map)};
    if (shape) {
      draft.path = (shape === "Polygon" ? L.polygon : L.polyline)([],
        Object.assign(lineStyle(symbolOf(tool.kind), true), {interactive: false})).addTo(map);
    }
    bar.show();
  }
  function end() {
    if (draft.path) map.removeLayer(draft.path);
    map.removeLayer(draft.dots);
    draft = null;
    box.classList.remove("pit-drawing");
    map.doubleClickZoom.enable();
    bar.show();
  }
  function needed() { return draft.shape === "Polygon" ? 3 : 2; }
  function near(a, b) { return map.latLngToLayerPoint(a).distanceTo(map.latLngToLayerPoint(b)) < 14; }
  function addPlace(latLng) {
    var places = draft.places, last = places[places.length - 1];
    if (draft.shape === "Point") { places.push(latLng); finish(); return; }
    if (last && near(last, latLng)) { if (places.length >= needed()) finish(); return; }
    if (draft.shape === "Polygon" && places.length >= 3 && near(places[0], latLng)) { finish(); return; }
    places.push(latLng);
    preview();
    bar.show();
  }
  function preview(pointer) {
    draft.path.setLatLngs(draft.places.concat(pointer && draft.places.length ? [pointer] : []));
    draft.dots.clearLayers();
    draft.places.forEach(function (latLng) {
      L.circleMarker(latLng, {radius: 6, color: "#222", weight: 2, fillColor: "#fff", fillOpacity: 1,
        interactive: false}).addTo(draft.dots);
    });
  }
  function finish() {
    var places = draft.places.map(place), shape = draft.shape, tool = draft.tool;
    var coordinates = shape === "Point" ? places[0] : shape === "LineString" ? places : [places.concat([places[0]])];
    end();
    var feature = {id: "", part: [], kind: tool.kind, name: tool.label, label: "", geometry:
      {type: shape, coordinates: coordinates}};
    if (shape === "Point") {
      L.marker(latLngs(coordinates), {icon: markIcon(feature), interactive: false}).addTo(fresh);
    } else {
      (shape === "Polygon" ? L.polygon : L.polyline)(latLngs(coordinates),
        Object.assign(lineStyle(symbolOf(tool.kind), true), {interactive: false})).addTo(fresh);
    }
    tell({do: "added", kind: tool.kind, geometry: feature.geometry});
  }
  map.on("click", function (event) {
    if (draft) { if (draft.shape) addPlace(event.latlng); return; }
    if (bar.isOpen()) { bar.close(); return; }
    if (!scene) return;
    select(null);
    tell({do: "clicked", at: place(event.latlng)});
  });
  map.on("mousemove", function (event) { if (draft && draft.path) preview(event.latlng); });
  document.addEventListener("keydown", function (event) {
    if (event.key !== "Escape") return;
    if (draft) end();
    else bar.close();
  });
  // ---- the bar of buttons
  var bar = pitsteadBar(box, looks, setup, {
    scene: function () { return scene; },
    draft: function () { return draft; },
    chosen: function () { return selected === null ? null : (entriesOf(selected)[0] || {}).feature || null; },
    needed: needed, begin: begin, end: end, finish: finish, cornersToSpare: cornersToSpare, removeCorner: removeCorner,
    takeBack: function () { draft.places.pop(); preview(); bar.show(); },
    remove: function () {
      var id = selected;
      entriesOf(id).forEach(function (each) { drop(keyOf(each.feature)); });
      select(null);
      tell({do: "deleted", id: id});
    },
    done: function () { select(null); tell({do: "selected", id: null}); }
  });

  // ---- following Python
  function remembered() {
    try { return JSON.parse(sessionStorage.getItem("pitstead " + scene.place)); } catch (refused) { return null; }
  }
  function remember() {
    try {
      sessionStorage.setItem("pitstead " + scene.place, JSON.stringify(
        {at: place(map.getCenter()), zoom: map.getZoom(), sent: JSON.stringify(scene.lookAt)}));
    } catch (refused) { /* a browser that keeps nothing only forgets where one looked */ }
  }
  function startView() {
    var kept = remembered();
    if (kept && kept.sent === JSON.stringify(scene.lookAt)) {
      map.setView([kept.at[1], kept.at[0]], kept.zoom, {animate: false});
      return;
    }
    if (scene.lookAt) { look(); return; }
    if (scene.zoom !== null || !whole(false)) {
      map.setView([scene.centre[1], scene.centre[0]], scene.zoom === null ? 3 : scene.zoom, {animate: false});
    }
  }
  function fill() {                         // the frame is given its height late, and follows the window
    if (window.innerHeight < 200) return;
    document.body.classList.add("pit-filled");
    map.invalidateSize({animate: false});
  }
  function whole(everything) {              // the work fills the map; all there is, when asked for
    var all = L.latLngBounds([]), work = L.latLngBounds([]);
    scene.features.forEach(function (feature) {
      var bounds = L.latLngBounds([].concat(latLngs(feature.geometry.coordinates)).flat(2));
      all.extend(bounds);
      if (WORK.indexOf(feature.kind) >= 0) work.extend(feature.kind === "water_source" ? bounds.getCenter() : bounds);
    });
    if (!all.isValid()) return false;
    var size = map.getSize(), beside = Math.min(56, size.x / 12);
    map.fitBounds(!everything && work.isValid() ? work.pad(0.12) : all, {animate: false, maxZoom: 19,
      paddingTopLeft: [beside, Math.min(40, size.y / 10)], paddingBottomRight: [beside, Math.min(76, size.y / 6)]});
    fitted = everything ? null : [map.getCenter(), map.getZoom()];
    return true;
  }
  function look() { map.setView([scene.lookAt[1], scene.lookAt[0]], scene.lookAt[2], {animate: false}); }
  function sync(next) {
    if (holding || pressed) { waiting = next; return; }
    waiting = null;
    if (count > (next.seen[0] === load ? next.seen[1] : 0)) return;   // older than the last act: another will follow
    var old = scene, wanted = {};
    scene = next;
    fresh.clearLayers();
    if (!old || old.place !== next.place) startView();
    else if (next.lookAt && JSON.stringify(old.lookAt) !== JSON.stringify(next.lookAt)) look();
    ground.show(scene, old);
    next.features.forEach(function (feature) { wanted[keyOf(feature)] = feature; });
    var editing = !old || !old.tools.length !== !next.tools.length;
    Object.keys(drawn).forEach(function (key) {
      if (editing || !wanted[key] || drawn[key].text !== JSON.stringify(wanted[key])) drop(key);
    });
    Object.keys(wanted).forEach(function (key) { if (!drawn[key]) draw(wanted[key]); });
    computed.show(scene);
    if (next.selected !== asked) {
      asked = next.selected;
      if (!draft) select(asked);
    }
    if (selected !== null && !entriesOf(selected).length) select(null);
    corner = null;
    showHandles();
    if (!bar.isOpen()) bar.show();
    ground.showGrid();
    arrange();
  }
  // A symbol under a finger must not be drawn anew before the finger lifts, and its click has followed.
  box.addEventListener("pointerdown", function (event) {
    clearTimeout(lifted);
    pressed = !!event.target.closest(".pit-icon, .pit-handle");
  }, true);
  ["pointerup", "pointercancel"].forEach(function (name) {
    document.addEventListener(name, function () {
      clearTimeout(lifted);
      lifted = setTimeout(function () {
        pressed = false;
        if (waiting) sync(waiting);
      }, 50);
    }, true);
  });
  map.on("resize", function () {
    if (scene && fitted && map.getZoom() === fitted[1] && map.getCenter().distanceTo(fitted[0]) < 1) whole(false);
  });
  window.addEventListener("resize", fill);
  map.on("moveend", function () {
    if (!scene) return;
    ground.showGrid();
    remember();
    if (holding) return;                    // the map also moves under a corner dragged to its edge
    showHandles();
    arrange();
  });
  fill();
  bar.show();
  return {sync: sync, drawn: {toGeoJSON: function () { return {features: acts}; }}};
}
