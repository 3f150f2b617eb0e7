// Scales for the small drawings: round steps for axes, and where the marks of a measure stand.

/** Round values from `low` to `high`, about `most` of them, each 1, 2 or 5 times a power of ten apart. */
export function roundSteps(low: number, high: number, most: number): number[] {
  if (!(high > low) || most < 1) return [];
  const rough = (high - low) / most;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((k) => k * power).find((one) => one >= rough * 0.999999) ?? power * 10;
  const steps: number[] = [];
  for (let k = Math.ceil(low / step - 1e-9); k * step <= high + step * 1e-9; k++) steps.push(Number((k * step).toPrecision(12)));
  return steps;
}

export interface Spread {
  low: number;
  mid: number;
  high: number;
}

export interface MeasureMarks {
  usual: { from: number; to: number } | null;
  today: { from: number; middle: number; to: number } | null;
}

/** Per cent of the row's width: what is usual takes the middle, today is drawn wherever it lies, all of it inside the row. */
export function measureMarks(today: Spread | null, usual: Spread | null): MeasureMarks {
  const values = [today, usual].flatMap((one) => (one ? [one.low, one.mid, one.high] : []));
  if (values.length === 0 || !values.every(Number.isFinite)) return { usual: null, today: null };
  const least = Math.min(...values);
  const most = Math.max(...values);
  const width = most - least;
  const at = (value: number): number => (width > 0 ? 12 + ((value - least) / width) * 76 : 50);
  return {
    usual: usual ? { from: at(usual.low), to: at(usual.high) } : null,
    today: today ? { from: at(today.low), middle: at(today.mid), to: at(today.high) } : null,
  };
}
