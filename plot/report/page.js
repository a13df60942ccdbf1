"use strict";

// Zoom, pan and a read-out for the timing charts. The page is complete without
// it. The drawing is the data: x in the inner picture is time in ticks, so a
// zoom changes its view box, and text beside it is placed anew.
(() => {
  const LETTER = 6.4, MARGIN = 6, TICK_GAP = 90;
  const MS = 1000, S = 1000 * MS, MIN = 60 * S, H = 60 * MIN;
  const STEPS = [
    MS, 2 * MS, 5 * MS, 10 * MS, 20 * MS, 50 * MS, 100 * MS, 200 * MS, 500 * MS,
    S, 2 * S, 5 * S, 10 * S, 15 * S, 30 * S, MIN, 2 * MIN, 5 * MIN, 10 * MIN, 15 * MIN, 30 * MIN,
    H, 2 * H, 6 * H, 12 * H, 24 * H, 48 * H, 120 * H,
  ];
  const CLOSEST = 20 * MS;

  const clock = (us) => {
    const ms = Math.round(us / MS), pad = (n, width) => String(n).padStart(width, "0");
    const minutes = Math.floor(ms / 60000), rest = pad(Math.floor(ms / 1000) % 60, 2) + "." + pad(ms % 1000, 3);
    return minutes < 60 ? minutes + ":" + rest : Math.floor(minutes / 60) + ":" + pad(minutes % 60, 2) + ":" + rest;
  };

  const tickText = (at, step) => {
    const digits = step % S === 0 ? 0 : step % (100 * MS) === 0 ? 1 : step % (10 * MS) === 0 ? 2 : 3;
    return clock(at).slice(0, digits === 0 ? -4 : digits - 3 || undefined);
  };

  const create = (name, attributes) => {
    const element = document.createElementNS("http://www.w3.org/2000/svg", name);
    for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
    return element;
  };

  const start = (figure) => {
    const chart = figure.querySelector(".chart"), time = figure.querySelector(".time");
    const axis = figure.querySelector(".axis"), grid = figure.querySelector(".grid"), readout = figure.querySelector(".readout");
    const unit = Number(figure.dataset.unit), left = Number(figure.dataset.left), plot = Number(figure.dataset.plot);
    const whole = time.viewBox.baseVal.width, height = time.viewBox.baseVal.height;
    const bottom = Number(/V(\d+)/.exec(grid.getAttribute("d"))[1]);
    const labels = [...figure.querySelectorAll(".labels text")].map((text) => ({
      text, from: Number(text.dataset.from), to: Number(text.dataset.to), y: text.getAttribute("y"),
      full: text.dataset.full, brief: text.dataset.brief, inside: text.classList.contains("inside"),
    }));
    const lanes = [...figure.querySelectorAll(".lane")].map((lane) => [...lane.querySelectorAll(".mark:not(.finding)")].map((mark) => ({
      from: mark.x.baseVal.value, to: mark.x.baseVal.value + mark.width.baseVal.value,
      title: mark.querySelector("title").textContent,
    })));
    const trace = figure.querySelector(".trace");
    const runs = trace === null ? [] : [...trace.getAttribute("d").matchAll(/M(\d+) ([^HV]+)H(\d+)V([^H]+)H/g)]
      .map(([, from, low, to, high]) => ({ from: Number(from), to: Number(to), low, high }));
    let from = 0, to = whole;

    const pixels = (tick) => left + plot * (tick - from) / (to - from);

    const placeAxis = () => {
      const span = (to - from) * unit;
      const step = STEPS.find((s) => s * plot >= span * TICK_GAP) || STEPS[STEPS.length - 1];
      const texts = [], lines = [];
      for (let at = Math.ceil(from * unit / step) * step; at <= to * unit; at += step) {
        const text = create("text", { x: Math.round(pixels(at / unit) * 100) / 100, y: height - 8 });
        text.textContent = tickText(at, step);
        texts.push(text);
        lines.push("M" + at / unit + " 0V" + bottom);
      }
      axis.replaceChildren(...texts);
      grid.setAttribute("d", lines.join(""));
    };

    // placeLabels gives every label its brief text where that has room, and then
    // its full text where that has room beside them.
    const placeLabels = () => {
      const rows = {};
      for (const label of labels) {
        label.text.textContent = "";
        label.place = null;
        (rows[label.y] = rows[label.y] || []).push(label);
      }
      for (const length of ["brief", "full"]) {
        for (const label of labels) placeLabel(label, label[length], rows[label.y]);
      }
    };

    const placeLabel = (label, text, row) => {
      if (text === "" || label.to < from || label.from > to) return;
      const first = pixels(Math.max(label.from, from)), last = pixels(Math.min(label.to, to));
      const half = ([...text].length * LETTER + MARGIN) / 2;
      if (label.inside && last - first < 2 * half) return;
      const middle = Math.min(Math.max((first + last) / 2, left + half), left + plot - half);
      const free = row.every((other) => other === label || other.place === null || middle + half <= other.place[0] || middle - half >= other.place[1]);
      if (!free) return;
      label.place = [middle - half, middle + half];
      label.text.setAttribute("x", Math.round(middle * 100) / 100);
      label.text.textContent = text;
    };

    const show = (newFrom, newTo) => {
      const span = Math.min(whole, Math.max(newTo - newFrom, CLOSEST / unit));
      from = Math.min(Math.max((newFrom + newTo - span) / 2, 0), whole - span);
      to = from + span;
      time.setAttribute("viewBox", from + " 0 " + span + " " + height);
      figure.querySelector(".span").textContent = "shown: " + clock(from * unit) + " to " + clock(to * unit);
      placeAxis();
      placeLabels();
    };

    const zoom = (factor, about = (from + to) / 2) => show(about - (about - from) * factor, about + (to - about) * factor);
    const move = (part) => show(from + (to - from) * part, to + (to - from) * part);
    const actions = {
      in: () => zoom(0.5), out: () => zoom(2), back: () => move(-0.25), on: () => move(0.25), all: () => show(0, whole),
    };
    const keys = { "+": "in", "=": "in", "-": "out", ArrowLeft: "back", ArrowRight: "on", 0: "all" };

    // scale is how many px of the screen one of the chart is wide.
    const scale = () => chart.getBoundingClientRect().width / chart.viewBox.baseVal.width;
    const tickUnder = (event) => {
      const x = (event.clientX - chart.getBoundingClientRect().left) / scale();
      return from + (to - from) * (x - left) / plot;
    };

    const cursor = create("path", { class: "cursor", d: "" });
    chart.append(cursor);
    const read = (tick) => {
      const x = pixels(tick);
      cursor.setAttribute("d", tick >= from && tick <= to ? "M" + x + " 0V" + bottom : "");
      if (tick < 0 || tick > whole) return;
      const run = runs.find((r) => tick >= r.from && tick < r.to);
      const parts = [clock(tick * unit)];
      if (run) parts.push("channel " + (run.low === run.high ? run.low : run.low + " to " + run.high) + " µs");
      for (const lane of lanes) {
        const mark = lane.find((m) => tick >= m.from && tick < m.to);
        if (mark) parts.push(mark.title);
      }
      readout.textContent = parts.join(" · ");
    };

    // A finger scrolls the page, as everywhere; a mouse moves the chart.
    let held = null;
    chart.addEventListener("pointerdown", (event) => {
      if (event.button !== 0 || event.pointerType !== "mouse") return;
      held = { x: event.clientX, from, to };
      chart.setPointerCapture(event.pointerId);
      chart.classList.add("moving");
    });
    chart.addEventListener("pointermove", (event) => {
      if (held === null) {
        read(tickUnder(event));
        return;
      }
      const by = (held.x - event.clientX) / (plot * scale()) * (held.to - held.from);
      show(held.from + by, held.to + by);
    });
    for (const name of ["pointerup", "pointercancel"]) {
      chart.addEventListener(name, () => {
        held = null;
        chart.classList.remove("moving");
      });
    }
    // A plain wheel scrolls the page.
    chart.addEventListener("wheel", (event) => {
      if (!event.ctrlKey) return;
      event.preventDefault();
      zoom(Math.exp(event.deltaY / 300), tickUnder(event));
    }, { passive: false });
    chart.addEventListener("dblclick", (event) => zoom(0.5, tickUnder(event)));
    figure.querySelector(".scroll").addEventListener("keydown", (event) => {
      const action = event.ctrlKey || event.metaKey || event.altKey ? undefined : keys[event.key];
      if (action === undefined) return;
      event.preventDefault();
      actions[action]();
    });
    for (const button of figure.querySelectorAll("[data-do]")) {
      button.addEventListener("click", actions[button.dataset.do]);
    }
    // A time in a table shows that stretch with as much around it.
    for (const link of document.querySelectorAll('a[href="#' + figure.id + '"]')) {
      link.addEventListener("click", () => {
        const first = Number(link.dataset.from) / unit, last = Number(link.dataset.to) / unit;
        const around = Math.max(last - first, 2 * S / unit);
        show(first - around, last + around);
      });
    }

    for (const hidden of figure.querySelectorAll("[hidden]")) hidden.hidden = false;
    show(0, whole);
  };

  for (const figure of document.querySelectorAll("figure.timing")) start(figure);
})();
