/**
 * FNV-1a of 32 bits, as draft-eastlake-fnv gives it, over the letters' codes. Two texts are not likely to share one.
 */
export function fingerprint(text: string): string {
  let hash = 0x811c9dc5
  for (let i = 0; i < text.length; i++) hash = Math.imul(hash ^ text.charCodeAt(i), 0x01000193)
  return (hash >>> 0).toString(16).padStart(8, '0')
}
