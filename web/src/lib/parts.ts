import { capital } from './labels';

/** A part as it is chosen from a list: by its name, or by what it is. */
export const partText = (part: { name: string; role: string }): string => {
  const role = part.role.replaceAll('_', ' ');
  return part.name ? `${part.name} (${role})` : capital(role);
};
