"""A scene: a picture as plain data that shows itself in a notebook."""

from .shapes import Picture
from .svg import to_img


class Scene(Picture):
    """A picture on a white ground; `alt` is a sentence that carries its numbers."""

    def _repr_mimebundle_(self, include=None, exclude=None):
        return {"text/html": to_img(self), "text/plain": self.alt}
