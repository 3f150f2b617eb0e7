// The drawing of StripChart and Trend, in a chunk of its own: uPlot is loaded only when a chart is shown.
import uPlot from 'uplot';
import 'uplot/dist/uPlot.min.css';
import type { Series, SeriesLine, TrendLine } from '../api/types';
import { nameSpot, type Line } from '../lib/nameSpot';
import { clockAt, timeStep } from '../lib/strip';
import { middleOf } from '../lib/trend';

interface Inks {
  ink: string;
  soft: string;
  rule: string;
  accent: string;
  paper: string;
  face: string;
}

function inksOf(element: Element): Inks {
  const style = getComputedStyle(element);
  const ink = (name: string): string => style.getPropertyValue(name).trim();
  return { ink: ink('--ink'), soft: ink('--soft'), rule: ink('--rule'), accent: ink('--accent'), paper: ink('--paper'), face: ink('--face') };
}

function hatching(colour: string): HTMLCanvasElement {
  const tile = document.createElement('canvas');
  const side = Math.round(7 * devicePixelRatio);
  tile.width = side;
  tile.height = side;
  const pen = tile.getContext('2d');
  if (pen) {
    pen.strokeStyle = colour;
    pen.lineWidth = devicePixelRatio;
    pen.beginPath();
    for (const shift of [-side, 0, side]) {
      pen.moveTo(shift, side);
      pen.lineTo(shift + side, 0);
    }
    pen.stroke();
  }
  return tile;
}

const pixels = (chart: uPlot, values: readonly (number | null | undefined)[], scale: string): Line =>
  values.map((value, k) => {
    const time = chart.data[0][k];
    return value === null || value === undefined || time === undefined ? null : { x: chart.valToPos(time, 'x', true), y: chart.valToPos(value, scale, true) };
  });

/** Names are written beside their lines, across none where there is room. */
function nameLines(chart: uPlot, named: readonly { line: SeriesLine; scale: string; colour: string }[], inks: Inks): void {
  const pen = chart.ctx;
  const drawn = named.map((one) => pixels(chart, one.line.value, one.scale));
  const placed: Line[] = [];
  pen.save();
  pen.font = `600 ${14 * devicePixelRatio}px ${inks.face}`;
  for (const [k, one] of named.entries()) {
    const width = pen.measureText(one.line.name).width;
    const height = 15 * devicePixelRatio;
    const spot = nameSpot(drawn[k] ?? [], [...drawn.filter((_, other) => other !== k), ...placed], width, height, chart.bbox, 6 * devicePixelRatio);
    if (!spot) continue;
    pen.fillStyle = `${inks.paper}d0`;
    pen.fillRect(spot.left - 3, spot.top, width + 6, height);
    pen.fillStyle = one.colour;
    pen.fillText(one.line.name, spot.left, spot.top + height - 3 * devicePixelRatio);
    placed.push([0, 0.5, 1].map((share) => ({ x: spot.left + share * width, y: spot.top + height / 2 })));
  }
  pen.restore();
}

const axisOf =
  (inks: Inks) =>
  (over: uPlot.Axis): uPlot.Axis => ({
    // Inks are asked for at each drawing: they change when the page turns dark.
    stroke: () => inks.soft,
    font: `14px ${inks.face}`,
    labelFont: `14px ${inks.face}`,
    labelSize: 20,
    grid: { stroke: () => inks.rule, width: 1 },
    ticks: { stroke: () => inks.rule, width: 1 },
    ...over,
  });

/** Draws, and draws again when the width, the face or the inks change. */
function keepDrawn(box: HTMLElement, inks: Inks, options: () => uPlot.Options, columns: uPlot.AlignedData): Drawn {
  const chart = new uPlot(options(), columns, box);
  let width = box.clientWidth;
  const sized = new ResizeObserver(() => {
    if (box.clientWidth === width) return;
    width = box.clientWidth;
    chart.setSize({ width, height: chart.height });
  });
  sized.observe(box);
  void document.fonts.ready.then(() => chart.redraw());
  const again = (): void => {
    Object.assign(inks, inksOf(box));
    chart.redraw();
  };
  const dark = window.matchMedia('(prefers-color-scheme: dark)');
  dark.addEventListener('change', again);
  return {
    destroy: () => {
      sized.disconnect();
      dark.removeEventListener('change', again);
      chart.destroy();
    },
  };
}

export interface Drawn {
  destroy: () => void;
}

export function drawStrip(box: HTMLElement, series: Series, first: SeriesLine, second: SeriesLine | null, tapped: (place: number) => void): Drawn {
  const inks = inksOf(box);
  const lengthS = (series.t_s[series.t_s.length - 1] ?? 0) - (series.t_s[0] ?? 0);
  const columns: uPlot.AlignedData = [series.t_s, first.value, first.low ?? first.value, first.high ?? first.value, ...(second ? [second.value] : [])];
  const axis = axisOf(inks);
  const none: uPlot.Series = { stroke: 'transparent', width: 0, points: { show: false } };

  const options: uPlot.Options = {
    width: box.clientWidth,
    height: 320,
    legend: { show: false },
    cursor: { show: false },
    scales: { x: { time: false } },
    axes: [
      axis({
        values: (_, ticks) => ticks.map((tick) => clockAt(series.begin, tick, series.offset_min).slice(0, 5)),
        // Whole minutes on the clock, not since the beginning.
        splits: (chart, _axis, least, mostT) => {
          const step = timeStep(lengthS, Math.max(2, chart.width / 110));
          const begin = Date.parse(series.begin) / 1000 + series.offset_min * 60;
          const from = Math.ceil((begin + least) / step) * step - begin;
          return Array.from({ length: Math.max(0, Math.floor((mostT - from) / step) + 1) }, (_unused, k) => from + k * step);
        },
      }),
      axis({ scale: 'y', label: `${first.name}, ${first.unit}`, size: 52 }),
      ...(second ? [axis({ scale: 'second', side: 1, label: `${second.name}, ${second.unit}`, size: 46, grid: { show: false }, stroke: () => inks.accent })] : []),
    ],
    series: [
      {},
      { scale: 'y', stroke: () => inks.ink, width: 2.5, points: { show: false } },
      { ...none, scale: 'y' },
      { ...none, scale: 'y' },
      ...(second ? [{ scale: 'second', stroke: () => inks.accent, width: 2, dash: [7, 4], points: { show: false } } satisfies uPlot.Series] : []),
    ],
    bands: [{ series: [3, 2], fill: `${inks.soft}40` }],
    hooks: {
      drawClear: [
        (chart) => {
          const pen = chart.ctx;
          const pattern = pen.createPattern(hatching(inks.rule), 'repeat');
          if (!pattern) return;
          pen.save();
          pen.fillStyle = pattern;
          for (const [from, to] of series.engine_on) {
            const left = chart.valToPos(from, 'x', true);
            pen.fillRect(left, chart.bbox.top, chart.valToPos(to, 'x', true) - left, chart.bbox.height);
          }
          pen.restore();
        },
      ],
      draw: [
        (chart) => {
          const pen = chart.ctx;
          pen.save();
          pen.strokeStyle = inks.ink;
          pen.fillStyle = inks.ink;
          pen.lineWidth = devicePixelRatio;
          pen.setLineDash([]);
          pen.font = `${14 * devicePixelRatio}px ${inks.face}`;
          let free = 0;
          for (const mark of series.marks) {
            const x = chart.valToPos(mark.t_s, 'x', true);
            const width = pen.measureText(mark.text).width;
            const right = x + width + 8 > chart.bbox.left + chart.bbox.width;
            const left = right ? Math.max(0, x - width - 5) : x + 5;
            // Where two would lie over each other, the second stands a line higher.
            const row = left < free ? 1 : 0;
            pen.beginPath();
            pen.moveTo(x, chart.bbox.top - row * 17 * devicePixelRatio);
            pen.lineTo(x, chart.bbox.top + chart.bbox.height);
            pen.stroke();
            pen.fillText(mark.text, left, chart.bbox.top - (5 + row * 17) * devicePixelRatio);
            if (row === 0) free = left + width + 8;
          }
          pen.restore();
          nameLines(chart, [{ line: first, scale: 'y', colour: inks.ink }, ...(second ? [{ line: second, scale: 'second', colour: inks.accent }] : [])], inks);
        },
      ],
      ready: [
        (chart) => {
          chart.over.addEventListener('click', (event) => {
            const at = chart.posToVal(event.offsetX, 'x');
            const place = series.t_s.findIndex((time) => time >= at);
            tapped(place < 0 ? series.t_s.length - 1 : place);
          });
        },
      ],
    },
    padding: [box.clientWidth < 420 ? 42 : 24, 8, 0, 0],
  };
  return keepDrawn(box, inks, () => options, columns);
}

const yearOf = (seconds: number): number => new Date(seconds * 1000).getUTCFullYear();

/** "4 Apr", with the year beneath where it begins. */
function dayOf(seconds: number, withYear: boolean): string {
  const date = new Date(seconds * 1000);
  const text = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'short', timeZone: 'UTC' }).format(date);
  return withYear ? `${text}\n${date.getUTCFullYear()}` : text;
}

/** One value a flight, the usual band as a pale block behind, alterations as dashed uprights with their number. */
export function drawTrend(box: HTMLElement, trend: TrendLine, alterations: readonly { time: number; word: string }[], tapped: (place: number) => void): Drawn {
  const inks = inksOf(box);
  const times = trend.points.map((point) => Date.parse(point.at) / 1000);
  const values = trend.points.map(middleOf);
  const { usual } = trend;
  const all = [...values, ...trend.points.flatMap((point) => [point.low ?? NaN, point.high ?? NaN]).filter(Number.isFinite), ...(usual ? [usual.low, usual.high] : [])];
  const least = Math.min(...all);
  const most = Math.max(...all);
  const room = (most - least || 1) * 0.12;
  const axis = axisOf(inks);
  const options: uPlot.Options = {
    width: box.clientWidth,
    height: 260,
    legend: { show: false },
    cursor: { show: false },
    scales: { x: { time: true }, y: { range: [least - room, most + room] } },
    axes: [
      axis({
        space: 74,
        values: (_, ticks) => ticks.map((tick, k) => dayOf(tick, k === 0 || yearOf(tick) !== yearOf(ticks[k - 1] ?? tick))),
      }),
      axis({ label: trend.unit, size: 52 }),
    ],
    series: [
      {},
      {
        stroke: () => inks.soft,
        width: 1,
        points: { show: true, size: 10, width: 2.5, stroke: () => inks.ink, fill: () => inks.paper },
      },
    ],
    hooks: {
      drawClear: [
        (chart) => {
          if (!usual) return;
          const pen = chart.ctx;
          const top = chart.valToPos(usual.high, 'y', true);
          pen.save();
          pen.fillStyle = `${inks.soft}24`;
          pen.fillRect(chart.bbox.left, top, chart.bbox.width, chart.valToPos(usual.low, 'y', true) - top);
          pen.restore();
        },
        // The spread of each point, beneath its circle.
        (chart) => {
          const pen = chart.ctx;
          pen.save();
          pen.strokeStyle = inks.ink;
          pen.lineWidth = 2 * devicePixelRatio;
          for (const [k, point] of trend.points.entries()) {
            if (typeof point.low !== 'number' || typeof point.high !== 'number') continue;
            const x = Math.round(chart.valToPos(times[k] ?? 0, 'x', true));
            pen.beginPath();
            pen.moveTo(x, chart.valToPos(point.low, 'y', true));
            pen.lineTo(x, chart.valToPos(point.high, 'y', true));
            pen.stroke();
          }
          pen.restore();
        },
      ],
      draw: [
        (chart) => {
          const pen = chart.ctx;
          pen.save();
          pen.strokeStyle = inks.ink;
          pen.fillStyle = inks.ink;
          pen.lineWidth = devicePixelRatio;
          pen.font = `14px ${inks.face}`;
          pen.font = `600 ${14 * devicePixelRatio}px ${inks.face}`;
          let free = chart.bbox.left;
          for (const [k, { time, word }] of alterations.entries()) {
            const x = chart.valToPos(time, 'x', true);
            if (x < chart.bbox.left || x > chart.bbox.left + chart.bbox.width) continue;
            pen.setLineDash([4 * devicePixelRatio, 4 * devicePixelRatio]);
            pen.beginPath();
            pen.moveTo(x, chart.bbox.top);
            pen.lineTo(x, chart.bbox.top + chart.bbox.height);
            pen.stroke();
            // The word where there is room for it; its number always.
            const whole = `${k + 1} ${word}`;
            const width = pen.measureText(whole).width;
            const left = Math.min(x - 4 * devicePixelRatio, chart.bbox.left + chart.bbox.width - width);
            const fits = left >= free;
            pen.fillText(fits ? whole : String(k + 1), fits ? left : x - 4 * devicePixelRatio, chart.bbox.top - 5 * devicePixelRatio);
            free = (fits ? left + width : x + 8 * devicePixelRatio) + 8 * devicePixelRatio;
          }
          pen.restore();
        },
      ],
      ready: [
        (chart) => {
          chart.over.addEventListener('click', (event) => {
            const at = chart.posToVal(event.offsetX, 'x');
            let best = -1;
            for (const [k, time] of times.entries()) if (best < 0 || Math.abs(time - at) < Math.abs((times[best] ?? 0) - at)) best = k;
            tapped(best);
          });
        },
      ],
    },
    padding: [24, 8, 0, 0],
  };
  return keepDrawn(box, inks, () => options, [times, values]);
}
