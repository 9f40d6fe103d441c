/** A picture from a file, made small enough to keep: a JPEG as a data address. */
const LONGEST_PX = 1600;

export async function smallPicture(file: File): Promise<string> {
  const url = URL.createObjectURL(file);
  try {
    const image = new Image();
    image.src = url;
    await image.decode();
    const share = Math.min(1, LONGEST_PX / Math.max(image.naturalWidth, image.naturalHeight));
    const canvas = document.createElement('canvas');
    canvas.width = Math.max(1, Math.round(image.naturalWidth * share));
    canvas.height = Math.max(1, Math.round(image.naturalHeight * share));
    canvas.getContext('2d')?.drawImage(image, 0, 0, canvas.width, canvas.height);
    return canvas.toDataURL('image/jpeg', 0.82);
  } finally {
    URL.revokeObjectURL(url);
  }
}
