// The map of a flight, in a chunk of its own: Leaflet is loaded only when the map is asked for. No tile server: a plain grid, and
// the owner's own PMTiles file when the server has one (pictures only), read in pieces through the server.
import L from 'leaflet';
import 'leaflet/dist/leaflet.css';
import * as routes from '../api/routes';
import type { Series } from '../api/types';
import { piecesOf } from '../lib/pieces';

class Grid extends L.GridLayer {
  override createTile(): HTMLElement {
    const tile = document.createElement('canvas');
    const side = this.getTileSize();
    tile.width = side.x;
    tile.height = side.y;
    const pen = tile.getContext('2d');
    if (pen) {
      pen.strokeStyle = getComputedStyle(document.documentElement).getPropertyValue('--rule').trim();
      pen.strokeRect(0.5, 0.5, side.x, side.y);
    }
    return tile;
  }
}

async function ownMap(): Promise<L.Layer | null> {
  const { PMTiles, TileType } = await import('pmtiles');
  const file = new PMTiles({
    getKey: () => 'own',
    getBytes: async (offset, length) => {
      const response = await fetch(routes.mapBytes(offset, length));
      if (!response.ok) throw new Error('The map file cannot be read.');
      return { data: await response.arrayBuffer() };
    },
  });
  const header = await file.getHeader();
  const kinds: Partial<Record<number, string>> = { [TileType.Png]: 'image/png', [TileType.Jpeg]: 'image/jpeg', [TileType.Webp]: 'image/webp' };
  const kind = kinds[header.tileType];
  if (!kind) return null;
  class Own extends L.GridLayer {
    override createTile(place: L.Coords, done: L.DoneCallback): HTMLElement {
      const picture = document.createElement('img');
      picture.alt = '';
      file
        .getZxy(place.z, place.x, place.y)
        .then((tile) => {
          if (tile) {
            picture.src = URL.createObjectURL(new Blob([tile.data], { type: kind ?? '' }));
            picture.onload = () => URL.revokeObjectURL(picture.src);
          }
          done(undefined, picture);
        })
        .catch((error: unknown) => done(error instanceof Error ? error : new Error('The map file cannot be read.'), picture));
      return picture;
    }
  }
  return new Own({ maxNativeZoom: header.maxZoom, minNativeZoom: header.minZoom });
}

/** Leaflet takes strings for HTML: what was written by somebody goes in as text. */
function asText(text: string): HTMLElement {
  const span = document.createElement('span');
  span.textContent = text;
  return span;
}

export interface Shown {
  destroy: () => void;
  /** Whether the owner's map lies beneath. */
  own: boolean;
}

export async function showMap(box: HTMLElement, series: Series, hasMap: boolean, miles: boolean): Promise<Shown> {
  const style = getComputedStyle(document.documentElement);
  const ink = style.getPropertyValue('--ink').trim();
  const map = L.map(box, { attributionControl: false, zoomAnimation: false, fadeAnimation: false, preferCanvas: true, scrollWheelZoom: false });
  new Grid().addTo(map);
  let own = false;
  if (hasMap) {
    const layer = await ownMap().catch(() => null);
    own = layer !== null;
    layer?.addTo(map);
  }
  const pieces = piecesOf(series.t_s, series.latitude ?? [], series.longitude ?? [], series.engine_on);
  const bounds = L.latLngBounds([]);
  for (const piece of pieces) {
    const line = L.polyline(piece.points, piece.on ? { color: ink, weight: 3.5 } : { color: ink, weight: 1.75, dashArray: '5 5' });
    line.addTo(map);
    bounds.extend(line.getBounds());
  }
  for (const mark of series.marks) {
    const place = series.t_s.findIndex((time) => time >= mark.t_s);
    const lat = series.latitude?.[place];
    const lon = series.longitude?.[place];
    if (lat === null || lat === undefined || lon === null || lon === undefined) continue;
    L.circleMarker([lat, lon], { radius: 6, color: ink, weight: 2.5, fillColor: style.getPropertyValue('--paper').trim(), fillOpacity: 1 })
      .bindTooltip(asText(mark.text), { permanent: true, direction: 'right' })
      .addTo(map);
  }
  L.control.scale({ metric: !miles, imperial: miles }).addTo(map);
  if (bounds.isValid()) map.fitBounds(bounds, { paddingTopLeft: [72, 24], paddingBottomRight: [84, 48] });
  else map.setView([0, 0], 2);
  return { own, destroy: () => map.remove() };
}
