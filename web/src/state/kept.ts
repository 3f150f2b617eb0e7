// What this browser keeps between visits.
import { browserStore, memoryStore, type Store } from '../lib/store';

function local(): Store {
  try {
    return browserStore(window.localStorage);
  } catch {
    return memoryStore();
  }
}

export const store: Store = local();

const probe = 'headroom.probe';
/** False when nothing survives a closed tab here. */
export const keeps: boolean = ((): boolean => {
  try {
    const works = browserStore(window.localStorage).set(probe, '1');
    store.remove(probe);
    return works;
  } catch {
    return false;
  }
})();
