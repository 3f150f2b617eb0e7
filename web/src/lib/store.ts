// A small port over what the browser keeps between visits. Nothing here throws: a browser that refuses to keep
// (private window, full) answers false, and the page says so.

export interface Store {
  get(key: string): string | null;
  set(key: string, value: string): boolean;
  remove(key: string): void;
  keys(): string[];
}

export function browserStore(storage: Storage): Store {
  return {
    get(key) {
      try {
        return storage.getItem(key);
      } catch {
        return null;
      }
    },
    set(key, value) {
      try {
        storage.setItem(key, value);
        return storage.getItem(key) === value;
      } catch {
        return false;
      }
    },
    remove(key) {
      try {
        storage.removeItem(key);
      } catch {
        // Nothing was kept.
      }
    },
    keys() {
      try {
        return Array.from({ length: storage.length }, (_, k) => storage.key(k)).filter((key): key is string => key !== null);
      } catch {
        return [];
      }
    },
  };
}

export function memoryStore(): Store {
  const held = new Map<string, string>();
  return {
    get: (key) => held.get(key) ?? null,
    set: (key, value) => {
      held.set(key, value);
      return true;
    },
    remove: (key) => void held.delete(key),
    keys: () => [...held.keys()],
  };
}

/** What was kept under a key, if it is JSON of the wanted shape; null for anything else. */
export function readKept<T>(store: Store, key: string, fits: (value: unknown) => value is T): T | null {
  const text = store.get(key);
  if (text === null) return null;
  try {
    const value: unknown = JSON.parse(text);
    return fits(value) ? value : null;
  } catch {
    return null;
  }
}

export const isRecord = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

export const isTexts = (value: unknown): value is Record<string, string> =>
  isRecord(value) && Object.values(value).every((one) => typeof one === 'string');
