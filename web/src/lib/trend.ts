// A point of a trend: one value, or a middle with its spread.
export interface TrendPoint {
  value?: number;
  mid?: number;
  low?: number | null;
  high?: number | null;
}

export const middleOf = (point: TrendPoint): number => point.value ?? point.mid ?? NaN;
