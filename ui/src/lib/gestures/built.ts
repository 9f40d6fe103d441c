/** What is built is not moved by mistake: the person says so first. */
import type { Bench } from './gesture';

export async function askBuilt(bench: Bench, ids: readonly string[]): Promise<boolean> {
  const built = bench.built(ids);
  if (built.length === 0) return true;
  const names = built.map((id) => bench.scene().features.find((f) => f.id === id)?.called ?? id);
  const what = names.length === 1 ? `“${names[0]}” stands already` : `${names.length} of these stand already`;
  return bench.sure(`${what}. Change what is drawn all the same?`, 'Change the drawing');
}
