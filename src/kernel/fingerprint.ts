import { sha256 } from '@noble/hashes/sha256';
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils';

/** A short name for texts that belong together: the first 12 hex digits of their SHA-256, so 1 in 2.8e14 by chance. */
export function fingerprintOf(...texts: readonly string[]): string {
  return bytesToHex(sha256(utf8ToBytes(texts.map((text) => `${text.length}:${text}`).join('\n')))).slice(0, 12);
}

/** The whole SHA-256 of bytes or of a text's UTF-8, as 64 hex digits. */
export function sha256Of(bytes: string | Uint8Array): string {
  return bytesToHex(sha256(typeof bytes === 'string' ? utf8ToBytes(bytes) : bytes));
}
