/** How large a file is, as people say it. */
export const fileSize = (bytes: number): string => (bytes >= 50_000 ? `${(bytes / 1e6).toFixed(1)} MB` : `${Math.max(Math.round(bytes / 1000), 1)} kB`);
