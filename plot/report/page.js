"use strict";

// Zoom, pan and a read-out for the timing charts, which it lays out for the
// available width. The page is complete without this script. The data are in the
// drawing: each mark has its stretch of time in ticks, by which it is placed again.
(() => {
  const LETTER = 6.4, MARGIN = 6, TICK_GAP = 90, RIGHT = 28, LEFT = 150, NARROW = 720;
  const MS = 1000, S = 1000 * MS;
  const CLOSEST = 20 * MS;
  const SIGN_APART = 20, LETTER_APART = 18;

  const clock = (us) => {
    const ms = Math.round(us / MS), pad = (n, width) => String(n).padStart(width, "0");
    const minutes = Math.floor(ms / 60000), rest = pad(Math.floor(ms / 1000) % 60, 2) + "." + pad(ms % 1000, 3);
    return minutes < 60 ? minutes + ":" + rest : Math.floor(minutes / 60) + ":" + pad(minutes % 60, 2) + ":" + rest;
  };

  const tickText = (at, step) => {
    const digits = step % S === 0 ? 0 : step % (100 * MS) === 0 ? 1 : step % (10 * MS) === 0 ? 2 : 3;
    return clock(at).slice(0, digits === 0 ? -4 : digits - 3 || undefined);
  };

  const round = (x) => Math.round(x * 100) / 100;
  const set = (element, attributes) => {
    for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
    return element;
  };
  const create = (name, attributes) => set(document.createElementNS("http://www.w3.org/2000/svg", name), attributes);

  // spread moves places until neighbours are at least a distance apart, as
  // SpreadNear in package lanes does. It returns null if there is no room.
  const spread = (places, apart, left, right) => {
    if ((places.length - 1) * apart > right - left) return null;
    const pools = [];
    const mean = (p) => p.sum / p.count;
    places.forEach((x, i) => {
      pools.push({ sum: x - i * apart, count: 1 });
      while (pools.length > 1 && mean(pools[pools.length - 2]) > mean(pools[pools.length - 1])) {
        const last = pools.pop();
        pools[pools.length - 1].sum += last.sum;
        pools[pools.length - 1].count += last.count;
      }
    });
    const moved = [];
    for (const p of pools) {
      const at = Math.max(left, Math.min(mean(p), right - (places.length - 1) * apart));
      for (let i = 0; i < p.count; i++) moved.push(at + moved.length * apart);
    }
    return moved.every((x, i) => Math.abs(x - places[i]) <= 4 * apart) ? moved : null;
  };

  const stretch = (element) => ({ element, from: Number(element.dataset.from), to: Number(element.dataset.to) });

  const readLane = (element) => {
    const all = (selector, more) => [...element.querySelectorAll(selector)].map((e) => ({ ...stretch(e), ...more(e) }));
    const title = (e) => ({ title: e.querySelector("title")?.textContent ?? "" });
    return {
      element, y: Number(element.dataset.y), height: Number(element.dataset.height),
      name: element.querySelector(".name"), nameY: element.querySelector(".name").getAttribute("y"),
      plot: element.querySelector(".plot"), time: element.querySelector(".time"), base: element.querySelector(".base"),
      bands: [...element.querySelectorAll(".range")], values: [...element.querySelectorAll(".value")],
      marks: all(".mark", (e) => ({ ...title(e), count: e.classList.contains("count"), drop: e.classList.contains("drop") })),
      signs: all(".flick", (e) => ({ ...title(e), y: /translate\(\S+ (\S+)\)/.exec(e.getAttribute("transform"))[1] })),
      labels: all(".label", (e) => ({
        full: e.dataset.full, brief: e.dataset.brief, inside: e.classList.contains("inside"),
        sign: e.dataset.sign === undefined ? null : Number(e.dataset.sign),
      })),
    };
  };

  const start = (figure) => {
    const chart = figure.querySelector(".chart"), scroll = figure.querySelector(".scroll");
    const axis = figure.querySelector(".axis"), grid = figure.querySelector(".grid"), readout = figure.querySelector(".readout");
    const unit = Number(figure.dataset.unit), whole = Number(figure.dataset.ticks);
    const steps = figure.dataset.steps.split(" ").map(Number);
    const lanes = [...figure.querySelectorAll(".lane")].map(readLane);
    const trace = figure.querySelector(".trace");
    const runs = trace === null ? [] : [...trace.getAttribute("d").matchAll(/M(\d+) ([^HV]+)H(\d+)V([^H]+)H/g)]
      .map(([, from, low, to, high]) => ({ from: Number(from), to: Number(to), low, high }));
    const fileHeight = chart.viewBox.baseVal.height;
    let from = 0, to = whole, left = LEFT, plot = 0, bottom = 0, cursorAt = null;

    // time writes a moment to a tenth of a second, or to a millisecond if zoomed in.
    const time = (tick) => {
      const close = (to - from) * unit < 20 * S;
      return close ? clock(tick * unit) : clock(Math.round(tick * unit / (100 * MS)) * 100 * MS).slice(0, -2);
    };

    const pixels = (tick) => left + plot * (tick - from) / (to - from);

    // layOut gives the chart its width on the screen, so that a px of the drawing
    // is a px of the screen. In a narrow chart, names are above the lanes.
    const layOut = () => {
      const width = Math.max(280, Math.round(scroll.clientWidth));
      const narrow = width < NARROW, row = narrow ? 16 : 0;
      left = narrow ? 2 : LEFT;
      plot = width - left - (narrow ? 14 : RIGHT);
      lanes.forEach((lane, i) => {
        const y = lane.y + row * (i + 1);
        lane.element.setAttribute("transform", "translate(0 " + y + ")");
        lane.name.setAttribute("y", narrow ? -5 - (lane.labels.some((l) => !l.inside) ? 13 : 0) : lane.nameY);
        for (const [j, same] of [...lane.name.children].entries()) {
          set(same, narrow ? { dx: "6", dy: "0" } : { x: "0", dy: "12" });
          if (narrow) same.removeAttribute("x");
          else same.removeAttribute("dx");
        }
        set(lane.plot, { x: left, width: plot, viewBox: left + " 0 " + plot + " " + lane.height });
        set(lane.base, { d: "M" + left + " " + lane.height + "h" + plot });
        if (lane.time) set(lane.time, { x: left, width: plot });
        for (const band of lane.bands) set(band, { x: left, width: plot });
        const taken = [];
        for (const value of lane.values) {
          const y = Number(value.getAttribute("y")); // in a narrow chart it is on the line that it names
          const dy = !narrow ? 0 : y < 12 ? 7 : -6;
          const hidden = narrow && taken.some((other) => Math.abs(other - y - dy) < 11);
          if (!hidden) taken.push(y + dy);
          set(value, { x: narrow ? left + plot : left - 6, dy, display: hidden ? "none" : "inline" });
        }
      });
      const height = fileHeight + row * lanes.length;
      bottom = height - 26;
      chart.setAttribute("viewBox", "0 0 " + width + " " + height);
    };

    const placeAxis = () => {
      const span = (to - from) * unit;
      const step = steps.find((s) => s * Math.floor(plot / TICK_GAP) >= span) || steps[steps.length - 1];
      const texts = [], lines = [];
      for (let at = Math.ceil(from * unit / step) * step; at <= to * unit; at += step) {
        const x = round(pixels(at / unit));
        const text = create("text", { x, y: bottom + 18 });
        text.textContent = tickText(at, step);
        if (x - text.textContent.length * LETTER / 2 < 0) text.setAttribute("class", "first");
        texts.push(text);
        lines.push("M" + x + " 0V" + bottom);
      }
      axis.replaceChildren(...texts);
      grid.setAttribute("d", lines.join(""));
    };

    const placeLane = (lane) => {
      if (lane.time) lane.time.setAttribute("viewBox", from + " 0 " + (to - from) + " " + lane.height);
      const fits = placeSigns(lane);
      for (const mark of lane.marks) {
        const hidden = mark.to < from || mark.from > to || mark.count && fits;
        mark.element.setAttribute("display", hidden ? "none" : "inline");
        if (hidden) continue;
        const x = Math.max(pixels(mark.from), left - 9), end = Math.min(pixels(mark.to), left + plot + 9);
        set(mark.element, { x: round(x), width: round(Math.max(1, mark.drop ? 1 : end - x)) });
      }
      placeLabels(lane);
    };

    // placeSigns places the visible flicks and reports whether they have room.
    const placeSigns = (lane) => {
      const shown = lane.signs.filter((s) => s.to >= from && s.from <= to);
      const moved = lane.signs.length === 0 ? null
        : spread(shown.map((s) => Math.max(left, Math.min(pixels(s.from), left + plot))), SIGN_APART, left, left + plot);
      for (const sign of lane.signs) {
        sign.x = null;
        sign.element.setAttribute("display", "none");
      }
      if (moved === null) return false;
      shown.forEach((sign, i) => {
        sign.x = moved[i];
        set(sign.element, { display: "inline", transform: "translate(" + round(moved[i]) + " " + sign.y + ")" });
      });
      return true;
    };

    // placeLabels gives each label its brief text if there is room, and then its
    // full text if there is room beside the others.
    const placeLabels = (lane) => {
      for (const label of lane.labels) {
        label.element.textContent = "";
        label.place = null;
      }
      // The letters of findings are moved apart if there is room.
      const letters = lane.labels.filter((l) => !l.inside && l.sign === null && l.to >= from && l.from <= to);
      letters.sort((a, b) => a.from - b.from);
      const moved = spread(letters.map((l) => pixels(l.from)), LETTER_APART, left + LETTER_APART / 2, left + plot - LETTER_APART / 2);
      letters.forEach((l, i) => { l.x = moved === null ? pixels(l.from) : moved[i]; });
      for (const length of ["brief", "full"]) {
        for (const label of lane.labels) placeLabel(lane, label, label[length]);
      }
    };

    const placeLabel = (lane, label, text) => {
      if (text === "" || label.to < from || label.from > to) return;
      const sign = label.sign === null ? null : lane.signs[label.sign];
      if (sign !== null && sign.x === null) return;
      const first = pixels(Math.max(label.from, from)), last = pixels(Math.min(label.to, to));
      const half = ([...text].length * LETTER + MARGIN) / 2;
      if (label.inside && last - first < 2 * half) return;
      const wanted = sign !== null ? sign.x : label.inside ? (first + last) / 2 : label.x;
      const middle = Math.min(Math.max(wanted, left + half), left + plot - half);
      const free = lane.labels.every((other) => other === label || other.place === null || middle + half <= other.place[0] || middle - half >= other.place[1]);
      if (!free) return;
      label.place = [middle - half, middle + half];
      label.element.setAttribute("x", round(middle));
      label.element.textContent = text;
    };

    const show = (newFrom, newTo) => {
      const span = Math.min(whole, Math.max(newTo - newFrom, CLOSEST / unit));
      from = Math.min(Math.max((newFrom + newTo - span) / 2, 0), whole - span);
      to = from + span;
      const part = span < whole ? ", of " + time(whole) : ", the whole log";
      figure.querySelector(".span").textContent = "shown: " + time(from) + " to " + time(to) + part;
      placeAxis();
      lanes.forEach(placeLane);
      placeCursor();
    };

    const zoom = (factor, about = (from + to) / 2) => show(about - (about - from) * factor, about + (to - about) * factor);
    const move = (part) => show(from + (to - from) * part, to + (to - from) * part);
    const actions = {
      in: () => zoom(0.5), out: () => zoom(2), back: () => move(-0.25), on: () => move(0.25), all: () => show(0, whole),
    };
    const keys = { "+": "in", "=": "in", "-": "out", ArrowLeft: "back", ArrowRight: "on", 0: "all" };

    // scale is the width of a px of the chart in px of the screen.
    const scale = () => chart.getBoundingClientRect().width / chart.viewBox.baseVal.width;
    const tickAt = (clientX) => {
      const x = (clientX - chart.getBoundingClientRect().left) / scale();
      return from + (to - from) * (x - left) / plot;
    };

    const cursor = create("path", { class: "cursor", d: "" });
    chart.append(cursor);
    // The cursor stays at its moment when the chart is zoomed or moved.
    const placeCursor = () => {
      const inside = cursorAt !== null && cursorAt >= from && cursorAt <= to;
      cursor.setAttribute("d", inside ? "M" + round(pixels(cursorAt)) + " 0V" + bottom : "");
    };
    const read = (tick) => {
      if (tick < 0 || tick > whole) return;
      cursorAt = tick;
      placeCursor();
      const run = runs.find((r) => tick >= r.from && tick < r.to);
      const parts = [time(tick)];
      if (run) parts.push("channel " + (run.low === run.high ? run.low : run.low + " to " + run.high) + " µs");
      for (const lane of lanes) {
        const mark = [...lane.signs, ...lane.marks.filter((m) => !m.count && !m.drop)].find((m) => tick >= m.from && tick < m.to);
        if (mark) parts.push(mark.title);
      }
      readout.textContent = parts.join(" · ");
    };

    // A mouse drags the chart. So does one finger sideways; up and down it scrolls
    // the page. Two fingers zoom about the point between them.
    const down = new Map();
    let held = null;
    const grasp = () => {
      const at = [...down.values()];
      held = { from, to, ticks: at.map(tickAt), at };
    };
    chart.addEventListener("pointerdown", (event) => {
      if (event.button !== 0) return;
      down.set(event.pointerId, event.clientX);
      chart.setPointerCapture(event.pointerId);
      grasp();
      if (event.pointerType !== "mouse") read(tickAt(event.clientX));
      chart.classList.add("moving");
    });
    chart.addEventListener("pointermove", (event) => {
      if (!down.has(event.pointerId)) {
        read(tickAt(event.clientX));
        return;
      }
      down.set(event.pointerId, event.clientX);
      const at = [...down.values()];
      if (at.length === 1) {
        const by = (held.at[0] - at[0]) / (plot * scale()) * (held.to - held.from);
        show(held.from + by, held.to + by);
        return;
      }
      const apart = Math.max(8, Math.abs(at[1] - at[0])), was = Math.max(8, Math.abs(held.at[1] - held.at[0]));
      const span = (held.to - held.from) * was / apart;
      const middle = (held.ticks[0] + held.ticks[1]) / 2;
      const share = ((at[0] + at[1]) / 2 - chart.getBoundingClientRect().left) / scale() - left;
      const first = middle - span * share / plot;
      show(first, first + span);
    });
    for (const name of ["pointerup", "pointercancel"]) {
      chart.addEventListener(name, (event) => {
        down.delete(event.pointerId);
        if (down.size > 0) grasp();
        else chart.classList.remove("moving");
      });
    }
    // A plain wheel scrolls the page.
    chart.addEventListener("wheel", (event) => {
      if (!event.ctrlKey) return;
      event.preventDefault();
      zoom(Math.exp(event.deltaY / 300), tickAt(event.clientX));
    }, { passive: false });
    chart.addEventListener("dblclick", (event) => zoom(0.5, tickAt(event.clientX)));
    scroll.addEventListener("keydown", (event) => {
      const action = event.ctrlKey || event.metaKey || event.altKey ? undefined : keys[event.key];
      if (action === undefined) return;
      event.preventDefault();
      actions[action]();
    });
    for (const button of figure.querySelectorAll("[data-do]")) {
      button.addEventListener("click", actions[button.dataset.do]);
    }
    // A click on a time in a table shows its stretch, with as much again around it.
    for (const link of document.querySelectorAll('a[href="#' + figure.id + '"]')) {
      link.addEventListener("click", () => {
        const first = Number(link.dataset.from) / unit, last = Number(link.dataset.to) / unit;
        const around = Math.max(last - first, 2 * S / unit);
        show(first - around, last + around);
      });
    }

    for (const hidden of figure.querySelectorAll("[hidden]")) hidden.hidden = false;
    const fit = () => {
      layOut();
      show(from, to);
    };
    new ResizeObserver(fit).observe(scroll);
    fit();
  };

  for (const figure of document.querySelectorAll("figure.timing")) start(figure);

  // Everything is printed, folded lists included.
  const folded = [];
  window.addEventListener("beforeprint", () => {
    for (const details of document.querySelectorAll("details:not([open])")) {
      folded.push(details);
      details.open = true;
    }
  });
  window.addEventListener("afterprint", () => {
    for (const details of folded.splice(0)) details.open = false;
  });
})();
