from .html_view import html_view as html_view
