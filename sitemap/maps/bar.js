// The bar of buttons under the map, and the sheet that opens over it: what may be added, and what the signs mean.
// `hand` is what the buttons do; the bar itself knows nothing of the map.
function pitsteadBar(box, looks, setup, hand) {
  "use strict";
  var element = looks.element, open = null;             // null, "add" or "key"
  var SHAPES = {Point: "One place", LineString: "A line", Polygon: "An outline"};
  var bar = element("div", "pit-bar"), sheet = element("div", "pit-panel");
  bar.setAttribute("role", "toolbar");
  bar.setAttribute("aria-label", "Work on the map");
  sheet.tabIndex = 0;                                   // it scrolls, by keys too
  sheet.setAttribute("role", "region");
  sheet.setAttribute("aria-label", "Choose what to add, or read what the signs mean");
  [sheet, bar].forEach(function (node) {
    L.DomEvent.disableClickPropagation(node);
    L.DomEvent.disableScrollPropagation(node);
    L.DomEvent.on(node, "click", L.DomEvent.stopPropagation);   // a button that takes itself away is no longer inside
    box.appendChild(node);
  });
  function hint(draft) {
    if (draft.shape === "Point") return draft.tool.label + ": touch its place on the map";
    if (draft.places.length < hand.needed()) return draft.tool.label + ": touch " + (draft.shape === "Polygon"
      ? "each corner" : "along the line");
    return draft.tool.label + ": go on, or finish";
  }
  function toggle(what) {
    return function () { open = open === what ? null : what; show(); };
  }
  function show() {
    var draft = hand.draft(), scene = hand.scene(), chosen = hand.chosen();
    if (draft || chosen) open = null;
    bar.replaceChildren();
    sheet.replaceChildren();
    box.classList.toggle("pit-open", open !== null);
    bar.hidden = !scene || !(scene.tools.length || scene.features.length);
    if (bar.hidden) return;
    function text(words) { bar.appendChild(element("span", "pit-says", words)); }
    function add(words, action, className) { bar.appendChild(looks.button(words, action, className)); }
    if (draft && !draft.shape) {
      text(draft.tool.label + " as");
      draft.tool.shapes.forEach(function (shape) {
        add(SHAPES[shape], function () { hand.end(); hand.begin(draft.tool, shape); }, "pit-main");
      });
      add("Cancel", hand.end);
    } else if (draft) {
      text(hint(draft));
      if (draft.path && draft.places.length >= hand.needed()) add("Finish", hand.finish, "pit-main");
      if (draft.places.length) add("Take back", hand.takeBack);
      add("Cancel", hand.end);
    } else if (chosen) {
      text(chosen.name);
      if (hand.cornersToSpare()) add("Remove corner", hand.removeCorner);
      if (scene.tools.length) {
        add("Delete", hand.remove, "pit-danger");
        add("+ Add", function () { hand.done(); toggle("add")(); });
      }
      add("Done", hand.done, "pit-main");
    } else {
      if (scene.tools.length) add(open === "add" ? "Close" : "+ Add", toggle("add"), "pit-main");
      if (scene.features.length) add(open === "key" ? "Close" : "Signs", toggle("key"));
      text(open === "add" ? "Choose what to add" : open === "key" ? "What the signs mean" : scene.tools.length
        ? scene.features.length ? "Drag a symbol to move it, touch it to open it" : "Touch here first: what to draw" : "");
    }
    if (open === "add") showTools(scene);
    if (open === "key") showKey(scene);
  }
  function heading(text) { sheet.appendChild(element("h2", "", text)); }
  function showTools(scene) {
    var group = null;
    scene.tools.forEach(function (tool) {
      if (tool.group !== group) heading(group = tool.group);
      var made = looks.button("", function () { hand.begin(tool, tool.shapes.length === 1 ? tool.shapes[0] : null); },
        "pit-kind");
      made.appendChild(looks.symbolPicture(tool.kind));
      made.appendChild(element("span", "", tool.label));
      sheet.appendChild(made);
    });
  }
  function row(picture, words) {
    var made = element("div", "pit-key");
    made.appendChild(picture);
    made.appendChild(element("span", "", words));
    sheet.appendChild(made);
  }
  function showKey(scene) {
    var kinds = {}, verdicts = {}, styles = {};
    scene.features.forEach(function (feature) {
      kinds[feature.kind] = kinds[feature.kind] || feature.geometry.type;
      if (feature.geometry.type !== "Point") kinds[feature.kind] = feature.geometry.type;
      if (feature.verdict) verdicts[feature.verdict] = true;
    });
    scene.overlays.forEach(function (overlay) { styles[overlay.style] = overlay.geometry.type; });
    heading("On the ground");
    Object.keys(setup.kinds).concat(Object.keys(kinds).filter(function (kind) { return !setup.kinds[kind]; }))
      .filter(function (kind) { return kinds[kind]; })
      .forEach(function (kind) { row(looks.keyPicture(kind, kinds[kind]), setup.kinds[kind] || "unknown kind"); });
    if (Object.keys(verdicts).length) heading("Verdict of a kiln");
    Object.keys(setup.verdicts).filter(function (verdict) { return verdicts[verdict]; }).forEach(function (verdict) {
      row(looks.symbolPicture("kiln_spot", verdict), setup.verdicts[verdict].words);
    });
    var worked = Object.keys(setup.overlays).filter(function (style) { return styles[style] && setup.says[style]; });
    if (worked.length) heading("Worked out");
    worked.forEach(function (style) {
      row(looks.linePicture(setup.overlays[style], styles[style] === "Polygon"), setup.says[style]);
    });
  }
  return {
    show: show,
    isOpen: function () { return open !== null; },
    close: function () { open = null; show(); }
  };
}
