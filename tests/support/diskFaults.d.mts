export interface FailingDisk {
  /** What the program asked of the disk below the folder, in order: the operation's name and the path from the folder. */
  readonly operations: readonly string[];
  readonly restore: () => void;
}

export function failingDisk(folder: string, at: number, kind: string): FailingDisk;
