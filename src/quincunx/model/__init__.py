"""The garden as triangles: what stands on a date, for walking in it and for other programs (glTF, GeoJSON)."""

from quincunx.model.floors import floors_of, surface_z
from quincunx.model.geojson import geojson_of
from quincunx.model.glb import Piece, Thing, glb
from quincunx.model.standing import glb_of, things_of
from quincunx.model.triangles import Mesh, meshes_of

__all__ = ["Mesh", "Piece", "Thing", "floors_of", "geojson_of", "glb", "glb_of", "meshes_of", "surface_z", "things_of"]
