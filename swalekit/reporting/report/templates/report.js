"use strict";
(() => {
  const page = JSON.parse(document.getElementById("page").textContent);
  const specs = {};
  const drawn = new Set();
  let units = page.units;
  let chosen = page.swales.length ? page.swales[0].swale : "";
  const all = (selector, root = document) => [...root.querySelectorAll(selector)];
  const byId = (id) => document.getElementById(id);
  const unitOf = (unit) => page[units][unit] || { factor: 1, name: unit };

  // figures in the reader's units

  function words(si, unit, decimals, bare) {
    if (si === null || si === "" || si === undefined) return "–";
    const { factor, name } = unitOf(unit);
    const digits = decimals + ({ acres: 2, in: 1, "in/h": 1 }[name] ?? 0);
    const places = { minimumFractionDigits: digits, maximumFractionDigits: digits, roundingMode: "halfEven" };
    const shown = (Number(si) * factor).toLocaleString("en-US", places);
    return bare || !name ? shown : `${shown} ${name}`;
  }

  function showFigures(root = document) {
    for (const each of all(".figure", root)) {
      const { si, unit, decimals, bare } = each.dataset;
      each.textContent = words(si, unit, Number(decimals), bare === "1");
    }
    for (const each of all("[data-unit-name]", root)) each.textContent = unitOf(each.dataset.unitName).name;
  }

  function inUnits(spec) {
    const copy = structuredClone(spec);
    for (const trace of copy.data) {
      if (!Array.isArray(trace.meta)) continue;
      ["x", "y"].forEach((axis, index) => {
        const { factor } = unitOf(trace.meta[index]);
        if (factor !== 1) trace[axis] = trace[axis].map((value) => (value === null ? null : value * factor));
      });
    }
    for (const axis of ["xaxis", "yaxis", "yaxis2"]) {
      const title = copy.layout[axis] && copy.layout[axis].title;
      if (title && title.text) title.text = title.text.replace(/\{(.*?)\}/, (_, unit) => unitOf(unit).name);
    }
    return copy;
  }

  // figures are drawn when they come into view

  const config = { displayModeBar: false, responsive: true, scrollZoom: true, doubleClick: "reset" };
  const still = { ...config, scrollZoom: false };

  function specOf(name) {
    specs[name] ||= JSON.parse(byId(`spec-${name}`).textContent);
    return specs[name];
  }

  function draw(name) {
    const place = byId(name);
    const first = !drawn.has(name);
    if (first) place.replaceChildren();
    drawn.add(name);
    if (name === "section" || name === "profile") fillSection(name);
    const spec = inUnits(specOf(name));
    if (name === "storm") spec.layout.xaxis.range = stormSpan();
    if (place.clientWidth < 560) fitNarrow(spec.layout);
    Plotly.react(place, spec.data, spec.layout, name === "map" || name === "scene" ? config : still).then(() => {
      if (first && name === "map") startMap(place);
      if (first) place.dataset.ready = "yes";
    });
  }

  function fitNarrow(layout) {
    if (layout.legend) {
      layout.margin = { l: 66, r: 6, t: 10, b: 150 };
      layout.legend.y = -0.24;
    }
    if (layout.scene) {
      const { eye } = layout.scene.camera;
      for (const side of ["x", "y", "z"]) eye[side] *= 1.7;
    }
  }

  const watcher = new IntersectionObserver(
    (seen) => {
      for (const each of seen.filter((one) => one.isIntersecting)) {
        watcher.unobserve(each.target);
        draw(each.target.id);
      }
    },
    { rootMargin: "150px" },
  );

  // the map

  const layerImages = ["relief", "catchments"];

  function switchLayer(name, on) {
    if (!drawn.has("map")) return;
    const map = byId("map");
    const image = layerImages.indexOf(name);
    if (image >= 0) {
      Plotly.relayout(map, { [`images[${image}].visible`]: on });
      return;
    }
    const shown = name === "option" ? `option ${page.options[Number(byId("option").value)].number}` : name;
    const ofLayer = (trace) => trace.name === shown || (name === "option" && trace.name.startsWith("option "));
    const traces = map.data.flatMap((trace, index) => (ofLayer(trace) ? [index] : []));
    const visible = traces.map((index) => on && map.data[index].name === shown);
    if (traces.length) Plotly.restyle(map, { visible }, traces);
  }

  function startMap(map) {
    for (const box of all("[data-layer]")) if (!box.checked) switchLayer(box.dataset.layer, false);
    map.on("plotly_click", (event) => {
      const point = event.points.find((each) => each.customdata !== undefined) || event.points[0];
      if (point.customdata !== undefined) choose(page.swales[point.customdata].swale);
      else tell(point.text || point.data.text);
    });
    map.on("plotly_relayout", () => {
      showScale();
      thinLabels();
    });
    let awake = false; // the wheel scrolls the page until the map is touched
    map.addEventListener("pointerdown", () => (awake = true));
    map.addEventListener("pointerleave", () => (awake = false));
    map.addEventListener("wheel", (event) => awake || event.ctrlKey || event.stopPropagation(), true);
    showScale();
    thinLabels();
    if (chosen) showChosen();
  }

  // numbers that would lie on another are left out until there is room
  function thinLabels() {
    const map = byId("map");
    const index = map.data.findIndex((trace) => trace.name === "swales" && trace.mode === "text");
    const { xaxis, yaxis } = map._fullLayout;
    const { x, y } = map._fullData[index];
    const taken = [];
    const text = specs.map.data[index].text.map((label, number) => {
      const [left, top] = [xaxis.d2p(x[number]), yaxis.d2p(y[number])];
      const crossed = taken.some(([a, b]) => Math.abs(a - left) < 38 && Math.abs(b - top) < 17);
      if (!crossed) taken.push([left, top]);
      return crossed ? "" : label;
    });
    Plotly.restyle(map, { text: [text] }, [index]);
  }

  function zoom(factor) {
    if (!drawn.has("map")) return;
    const map = byId("map");
    const { xaxis, yaxis } = map._fullLayout;
    const ranges = { xaxis: specs.map.layout.xaxis.range, yaxis: specs.map.layout.yaxis.range };
    const change = {};
    for (const [name, axis] of Object.entries({ xaxis, yaxis })) {
      const [low, high] = axis.range;
      const middle = (low + high) / 2;
      const half = (high - low) / 2 / factor;
      change[`${name}.range`] = factor ? [middle - half, middle + half] : ranges[name];
    }
    Plotly.relayout(map, change);
  }

  function showScale() {
    const { xaxis } = byId("map")._fullLayout;
    const { factor, name } = unitOf("m");
    const perPixel = ((xaxis.range[1] - xaxis.range[0]) / xaxis._length) * factor;
    const most = perPixel * 130;
    const power = 10 ** Math.floor(Math.log10(most));
    const length = [5, 2, 1].map((step) => step * power).find((step) => step <= most);
    byId("scale-words").textContent = `${length.toLocaleString("en-US")} ${name}`;
    byId("scale-length").style.width = `${length / perPixel}px`;
  }

  // the chosen swale

  const decoded = (html) => new DOMParser().parseFromString(html, "text/html").documentElement.textContent;

  function tell(text) {
    if (!text) return;
    const line = document.createElement("p");
    line.textContent = decoded(String(text));
    byId("tapped").replaceChildren(line);
  }

  function pair(label, value) {
    const row = document.createElement("div");
    row.className = "pair";
    for (const [tag, text] of [["dt", label], ["dd", value]]) {
      const part = document.createElement(tag);
      part.textContent = text;
      row.append(part);
    }
    return row;
  }

  function choose(swale) {
    chosen = swale;
    for (const each of all("[data-choose]")) each.value = swale;
    for (const row of all("#swale-table tbody tr")) row.classList.toggle("chosen", row.dataset.swale === swale);
    showChosen();
    for (const name of ["section", "profile"]) if (drawn.has(name)) draw(name);
  }

  function showChosen() {
    const figures = page.swales.find((each) => each.swale === chosen);
    const heads = Object.fromEntries(all("#swale-table thead button").map((each) => [each.dataset.column, each.textContent]));
    const title = document.createElement("h3");
    title.textContent = `Swale ${chosen}`;
    const [list, full] = [document.createElement("dl"), document.createElement("dl")];
    for (const column of page.columns) {
      const value = figures[column.name];
      if (column.name === "swale" || value === null || value === "") continue;
      const unit = column.name === "cost" ? page.currency : column.unit;
      const text = typeof value === "number" ? words(value, unit, column.decimals, false) : value;
      if (heads[column.name] || column.name === "cautions") list.append(pair(heads[column.name] || "Cautions", text));
      full.append(pair(column.meaning, text));
    }
    const more = document.createElement("details");
    const summary = document.createElement("summary");
    summary.textContent = "Every figure";
    more.append(summary, full);
    byId("tapped").replaceChildren(title, list, more);
    if (!drawn.has("map")) return;
    const map = byId("map");
    const lines = (map._fullData || []).find((trace) => trace.name === "swales" && trace.mode === "lines" && trace.customdata);
    const mark = map.data.findIndex((trace) => trace.name === "chosen");
    if (!lines || mark < 0) return;
    const number = page.swales.findIndex((each) => each.swale === chosen);
    const kept = [...lines.customdata].flatMap((value, index) => (value === number ? [index] : []));
    Plotly.restyle(map, { x: [kept.map((index) => lines.x[index])], y: [kept.map((index) => lines.y[index])] }, [mark]);
  }

  // sections and profiles

  function fillSection(name) {
    const figures = page.swales.find((each) => each.swale === chosen);
    const section = page.sections[chosen];
    const spec = specOf(name);
    const put = (trace, points) => {
      trace.x = points.map((point) => point[0]);
      trace.y = points.map((point) => point[1]);
    };
    if (name === "section") {
      const xy = section.xy;
      const side = 1.5;
      const ends = [xy[0][0] - side, xy[7][0] + side].map((x) => [x, -section.slope * x]);
      const [water, berm, ground, built] = spec.data;
      put(ground, ends);
      put(built, [ends[0], ...xy, ends[1]]);
      put(berm, [...xy.slice(4), xy[4]]);
      put(water, pond(section, ends[0]));
    } else {
      const [crest, ground, sill, full, floor] = spec.data;
      const whole = [0, figures.length_m];
      const level = (height) => whole.map((x) => [x, height]);
      put(crest, level(figures.crest_m));
      put(full, level(figures.sill_m));
      put(floor, level(figures.level_m - figures.depth_m));
      const half = figures.sill_length_m / 2;
      put(sill, [-half, half].map((step) => [figures.sill_at_m + step, figures.sill_m]));
      put(ground, section.chainage_m.map((x, index) => [x, section.ground_m[index]]));
    }
    const dug = words(figures.depth_m, "m", 2, false);
    const slope = (100 * figures.mean_slope).toFixed(0);
    byId("section-words").textContent = `dug ${dug} at the stake, ground falls ${slope} %, sill at ${words(figures.sill_at_m, "m", 0, false)}`;
  }

  // outline of the water at the sill's level: along it, and back over ditch and ground
  function pond(section, uphillEnd) {
    const line = [uphillEnd, ...section.xy.slice(0, 6)];
    const sill = section.sill_m;
    const wet = [];
    for (let index = 1; index < line.length; index += 1) {
      const [[x0, y0], [x1, y1]] = [line[index - 1], line[index]];
      if (y0 > sill !== y1 > sill) wet.push([x0 + ((sill - y0) / (y1 - y0)) * (x1 - x0), sill]);
      if (y1 <= sill) wet.push(line[index]);
    }
    if (line[0][1] <= sill) wet.unshift([line[0][0], sill], line[0]);
    return wet.length ? [...wet, wet[0]] : [];
  }

  // the storm, options, the table

  function stormSpan() {
    const wanted = document.querySelector("input[name=span]:checked").value;
    if (wanted === "storm") return specOf("storm").layout.xaxis.range;
    return [0, Math.max(...specOf("storm").data.map((trace) => trace.x[trace.x.length - 1]))];
  }

  function showOption(number) {
    const option = page.options[number];
    for (const each of all("[data-option]")) {
      const figure = each.querySelector(".figure");
      figure.dataset.si = option[each.dataset.option] ?? "";
    }
    for (const each of all("[data-option-words]")) each.textContent = option[each.dataset.optionWords];
    for (const row of all("#option-table tbody tr")) row.classList.toggle("chosen", Number(row.dataset.number) === number);
    showFigures(byId("option-facts"));
    const box = document.querySelector("[data-layer=option]");
    if (box) switchLayer("option", box.checked);
  }

  function sortTable(button) {
    const head = button.closest("th");
    const rising = head.getAttribute("aria-sort") !== "ascending";
    for (const each of all("#swale-table th[aria-sort]")) each.removeAttribute("aria-sort");
    head.setAttribute("aria-sort", rising ? "ascending" : "descending");
    const name = button.dataset.column;
    const order = (a, b) => {
      if (typeof a === "number" || typeof b === "number") return (a ?? Infinity) - (b ?? Infinity);
      return String(a).localeCompare(String(b), "en", { numeric: true });
    };
    const ranked = [...page.swales].sort((a, b) => (rising ? 1 : -1) * order(a[name], b[name]));
    const body = document.querySelector("#swale-table tbody");
    const rows = Object.fromEntries(all("tr", body).map((row) => [row.dataset.swale, row]));
    body.append(...ranked.map((each) => rows[each.swale]));
  }

  // what the reader does

  for (const each of all("input[name=units]")) {
    each.addEventListener("change", () => {
      units = each.value;
      showFigures();
      if (chosen) showChosen();
      for (const name of drawn) if (name !== "map" && name !== "scene") draw(name);
      if (drawn.has("map")) showScale();
    });
  }
  for (const each of all("[data-layer]")) each.addEventListener("change", () => switchLayer(each.dataset.layer, each.checked));
  for (const each of all("[data-zoom]")) each.addEventListener("click", () => zoom(Number(each.dataset.zoom)));
  for (const each of all("[data-choose]")) each.addEventListener("change", () => choose(each.value));
  for (const each of all("#swale-table thead button")) each.addEventListener("click", () => sortTable(each));
  for (const each of all("#swale-table tbody tr")) {
    each.querySelector("button").addEventListener("click", () => {
      choose(each.dataset.swale);
      byId("map-part").scrollIntoView();
    });
  }
  for (const each of all("input[name=span]")) each.addEventListener("change", () => drawn.has("storm") && draw("storm"));
  byId("heights").addEventListener("change", (event) => {
    if (!drawn.has("scene")) return;
    const z = specs.scene.layout.scene.aspectratio.z * Number(event.target.value);
    Plotly.relayout(byId("scene"), { "scene.aspectratio.z": z });
  });
  const option = byId("option");
  if (option) {
    option.addEventListener("change", () => showOption(Number(option.value)));
    showOption(Number(option.value));
  }
  if (chosen) choose(chosen);

  // the page is shown before the plotting library is read
  requestAnimationFrame(() =>
    setTimeout(() => {
      const library = document.createElement("script");
      library.textContent = byId("plotly").textContent;
      document.head.append(library);
      for (const each of all(".plot")) watcher.observe(each);
    }),
  );
})();
