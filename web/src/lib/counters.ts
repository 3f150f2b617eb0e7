// The counters of a part in two sentences: what is known, and what is not known in all.
export interface Counter {
  name: string;
  text: string;
  value?: { basis?: string };
}

export function toldCounters(counters: readonly Counter[]): { known: string[]; unknown: string[] } {
  const isUnknown = (one: Counter): boolean => (one.value ? one.value.basis === 'unknown' : one.text.startsWith('not known'));
  return {
    known: counters.filter((one) => !isUnknown(one)).map((one) => `${one.name} ${one.text}`),
    unknown: counters.filter(isUnknown).map((one) => {
      // "not known in all; 12.4 h since this book began": what has been counted is told, nothing counted is not.
      const counted = /; (.+)$/.exec(one.text)?.[1] ?? '';
      return counted === '' || /^0\b(?![.,]\d)/.test(counted) ? one.name : `${one.name} (${counted})`;
    }),
  };
}
